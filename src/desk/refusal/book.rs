//! What can be done about what the book refuses.

use super::Remedy;
use crate::ledger::refusal::{NotStruck, Refusal};

/// The remedies of a refusal of the book, the best first.
pub(super) fn remedies(refusal: &Refusal) -> Vec<Remedy> {
    match refusal {
        Refusal::NoBook(_) => vec![Remedy::MakeABook, Remedy::NameAnotherBook],
        Refusal::EmptyFile(_) => vec![Remedy::MakeABookThere],
        Refusal::BackupNamesAFolder(folder) => vec![Remedy::DatedCopiesIn(folder.clone())],
        Refusal::NoLot { nearest, .. } if nearest.is_empty() => vec![Remedy::ListLots],
        Refusal::NoLot { nearest, .. } => vec![Remedy::NearestLots(nearest.clone())],
        Refusal::SeveralLots { lots, .. } => vec![Remedy::TypeMoreOf(lots.clone())],
        Refusal::LotStruck { lot, .. } => vec![Remedy::ReadLog(lot.to_string())],
        Refusal::MovedLater { lot, entry } => vec![
            Remedy::CorrectPlace(*entry),
            Remedy::StrikeIfWrong {
                about: lot.to_string(),
                entry: Some(*entry),
            },
        ],
        Refusal::BakeEnded { bake, done, .. } => {
            let mut remedies = vec![Remedy::ShowBake(*bake)];
            remedies.extend(done.map(Remedy::CorrectDoneBake));
            remedies.push(Remedy::StrikeIfWrong {
                about: bake.to_string(),
                entry: None,
            });
            remedies
        }
        Refusal::AfterNow { .. } => vec![Remedy::CheckTheClock],
        Refusal::FoundTooMuch { lot, .. } => vec![Remedy::StrikeWhatTookTooMuch(*lot)],
        Refusal::WouldOverdraw { lot, .. } => vec![Remedy::PutAnotherRightFirst(*lot)],
        Refusal::WeighedLater { .. } => vec![Remedy::CountAgain],
        Refusal::NothingToJoin => vec![Remedy::NameMoreLots],
        Refusal::FormsDiffer(..) => vec![Remedy::TreatOneFirst],
        Refusal::NoPlace { name, .. } => vec![Remedy::AddPlace(name.clone())],
        Refusal::PlaceTaken(name) => vec![Remedy::ChangePlace(name.clone())],
        Refusal::PlaceStatedLater(_) => vec![Remedy::StateLaterOrStrike],
        Refusal::NoFormula { known, .. } if known.is_empty() => vec![Remedy::AddFormula],
        Refusal::NoFormula { known, .. } => vec![Remedy::KnownFormulas(known.clone())],
        Refusal::NotABake(_) => vec![Remedy::ListOpenBakes],
        Refusal::NoBake(_) => vec![Remedy::ListBakes],
        Refusal::NoEntry(_) => vec![Remedy::ListEntries],
        Refusal::ActIdTaken { .. } => vec![Remedy::GiveAnotherActId],
        Refusal::NoDevice(_) => vec![Remedy::ListDevices],
        Refusal::NotStruck { entry, why } => of_strike(*entry, why),
        Refusal::NearSource { name, near } => vec![
            Remedy::NameOldSource(near.clone()),
            Remedy::SayNewSource(name.clone()),
        ],
        Refusal::SourceTaken { name, taken } => vec![Remedy::MergeSources {
            name: name.clone(),
            into: taken.clone(),
        }],
        Refusal::PlaceClosed { place, at, closed } => match closed {
            (from, _) if at < from => vec![Remedy::OpenPlaceFirst(place.clone())],
            (_, None) => vec![Remedy::OpenPlace(place.clone())],
            _ => vec![Remedy::SayWhen],
        },
        Refusal::LotsLayThere {
            place, empty_from, ..
        } => vec![Remedy::CloseLater(place.clone(), *empty_from)],
        Refusal::LotsLieThere { .. } => vec![Remedy::MoveThemFirst],
        Refusal::NotCorrected(entry, kind) => vec![Remedy::StrikeAndEnterAgain(*entry, *kind)],
        Refusal::MashedOutAfterPickup { .. } => vec![Remedy::CorrectPickupTime],
        Refusal::MoreThanLeft { lot, .. } => vec![Remedy::CountIt(*lot)],
        Refusal::NotTheBrewDay { .. } => vec![Remedy::BrewDayInCode],
        Refusal::AfterItWasWritten { .. } => vec![Remedy::SayWhen],
        Refusal::BeforeArrival { .. } => vec![Remedy::SayWhen],
        Refusal::ColdBeforeMashOut {
            entry: Some(entry), ..
        } => vec![Remedy::CorrectTimeFirst(*entry)],
        Refusal::NothingLeft(lot) => vec![Remedy::TraceIt(*lot)],
        Refusal::ColdBeforeMashOut { .. }
        | Refusal::AlreadyThere { .. }
        | Refusal::KindsDiffer(..)
        | Refusal::TooHeavy
        | Refusal::NoSource { .. }
        | Refusal::SameSource { .. }
        | Refusal::DoneBefore { .. }
        | Refusal::NoVersion { .. }
        | Refusal::SameFormula { .. } => Vec::new(),
    }
}

fn of_strike(entry: i64, why: &NotStruck) -> Vec<Remedy> {
    match why {
        NotStruck::Already(_) => Vec::new(),
        NotStruck::Amended(by) => vec![Remedy::TakeInstead(*by)],
        NotStruck::StrikesAStrike(entry) | NotStruck::StruckWith(entry) => {
            vec![Remedy::TakeInstead(*entry)]
        }
        NotStruck::LotIsVoid(_, by) => vec![Remedy::StrikeFirst(*by)],
        NotStruck::WeighedOn(by) => vec![Remedy::TakeInstead(*by)],
        NotStruck::OnlyStatementOfPlace => vec![Remedy::StatePlaceAnew],
        NotStruck::RestOnIt(standing) => {
            let all = standing.iter().copied().chain([entry]).collect();
            vec![Remedy::StrikeAll(all)]
        }
        NotStruck::GrainOfDoneBake { bake, done } => vec![Remedy::StrikeDoneBake {
            bake: *bake,
            done: done.clone(),
        }],
        NotStruck::MovedWithBake(done) => vec![Remedy::TakeInstead(*done)],
        NotStruck::GrainCorrectedSince(by) | NotStruck::BakeIsStruck(by) => {
            vec![Remedy::StrikeFirst(*by)]
        }
        NotStruck::BakeEnded { ended, .. } => vec![Remedy::StrikeFirst(*ended)],
        NotStruck::OnlyStatementOfBake(bake) => vec![Remedy::ChangeOrDropBake(*bake)],
    }
}
