//! Which notices warn.

use super::{NotLearned, Notice};

impl Notice {
    /// Whether it warns, so that no counter may leave it out.
    pub const fn is_warning(&self) -> bool {
        match self {
            Self::UnusableByNow { .. }
            | Self::UsedWhenUnusable(_)
            | Self::Unmarked(_)
            | Self::JudgedBetter { .. }
            | Self::BetterByClock { .. }
            | Self::TicketsUntrue(_)
            | Self::TakenBefore(_)
            | Self::TakenByBake(..)
            | Self::WrittenTwice { .. }
            | Self::SameSample(..)
            | Self::DriedOn(..)
            | Self::CooledFast { .. }
            | Self::WarmRowsLeftOut(_)
            | Self::ReasonNamesSpoilage(..)
            | Self::PartSpoiled(..)
            | Self::AwaitsFile(..)
            | Self::ProbeOverruled(..)
            | Self::WordInWarmth(..)
            | Self::LessWarm { .. }
            | Self::UnlikelyWeight(..)
            | Self::OtherGrain(_)
            | Self::AllOfOtherLot(..)
            | Self::FarFromSheet(..)
            | Self::OtherSheet(_)
            | Self::WarmerThen { .. }
            | Self::CountsAsThawed { .. }
            | Self::PlaceTooWarm { .. }
            | Self::SameBake { .. }
            | Self::CountsAgainInstead(_)
            | Self::WentOutBefore(_)
            | Self::OfTheSameGrain { .. }
            | Self::ReadAs(..)
            | Self::NoGristNames(_)
            | Self::FreezerNotFrozen { .. }
            | Self::OtherScale { .. }
            | Self::SameReadingsElsewhere(_)
            | Self::LikeLast { .. }
            | Self::ReadTwice { .. }
            | Self::RowsAlike(_)
            | Self::PromisedGrainGone { .. }
            | Self::PromisedGrainLost(_)
            | Self::MustBeThawed { .. }
            | Self::StillFrozen { .. }
            | Self::PromisesUnreadable(_)
            | Self::BackInStock(_)
            | Self::PlaceOverfull { .. }
            | Self::OnlyLeft(_)
            | Self::BrewedLongAgo { .. }
            | Self::OnHandUnusable { .. }
            | Self::PastByLateMove(_)
            | Self::CountedSince(_)
            | Self::OnHandAgain(_)
            | Self::UsableApart { .. }
            | Self::UsableElsewhere(..)
            | Self::WentAlong(_)
            | Self::LaterCountStands(_)
            | Self::CalledAlmostLike(..)
            | Self::CalledOtherwiseNow(..)
            | Self::NotFreeOf(..)
            | Self::NotMarkedAnyMore(..)
            | Self::NoLongerFreeOf(..)
            | Self::WarmSince(..)
            | Self::TooQuick { .. }
            | Self::DryLossDoubtful { .. }
            | Self::WetterThanGrain(..)
            | Self::LotsFallShort(_)
            | Self::WeightsOfWhatIsThere(_)
            | Self::PromisedGrainNotTaken { .. }
            | Self::LeftOutByPlan { .. }
            | Self::MixingIsPast(_)
            | Self::FirstStageIsPast(_)
            | Self::UnusableByThen(..)
            | Self::OtherForm { .. }
            | Self::MixedNow(_)
            | Self::OddMoisture(_)
            | Self::SourceDrifts(_)
            | Self::MixingHeatNotLearned(
                NotLearned::WaterUnknown | NotLearned::Unexplained(_),
                _,
            ) => true,
            Self::Used { .. }
            | Self::Measured { .. }
            | Self::Given { .. }
            | Self::Discarded(..)
            | Self::UndoneBy(_)
            | Self::BakeStruck(_)
            | Self::AddedToBake(_)
            | Self::LeftToEarlierBakes(_)
            | Self::KeepOldVersion { .. }
            | Self::Treated(_)
            | Self::PutTo { .. }
            | Self::Joined(_)
            | Self::LeftOf(..)
            | Self::PartMoved { .. }
            | Self::PromisedGrainTaken { .. }
            | Self::CountsFromMashOut { .. }
            | Self::NothingMeasured(_)
            | Self::MixingHeatNotLearned(NotLearned::TemperaturesUnknown(_), _)
            | Self::MixingWarmed(_) => false,
        }
    }
}
