//! What can be done about what the book refuses.

use super::Remedy;
use crate::ledger::refusal::{BookRefusal, NotStruck};

/// The remedies of a refusal of the book, the best first.
pub(super) fn remedies(refusal: &BookRefusal) -> Vec<Remedy> {
    match refusal {
        BookRefusal::NoBook(_) => vec![Remedy::MakeABook, Remedy::NameAnotherBook],
        BookRefusal::EmptyFile(_) => vec![Remedy::MakeABookThere],
        BookRefusal::BackupNamesAFolder(folder) => vec![Remedy::DatedCopiesIn(folder.clone())],
        BookRefusal::NoLot { nearest, .. } if nearest.is_empty() => vec![Remedy::ListLots],
        BookRefusal::NoLot { nearest, .. } => vec![Remedy::NearestLots(nearest.clone())],
        BookRefusal::SeveralLots { lots, .. } => vec![Remedy::TypeMoreOf(lots.clone())],
        BookRefusal::LotStruck { lot, .. } => vec![Remedy::ReadLog(lot.to_string())],
        BookRefusal::MovedLater { lot, entry } => vec![
            Remedy::CorrectPlace(*entry),
            Remedy::StrikeIfWrong {
                about: lot.to_string(),
                entry: Some(*entry),
            },
        ],
        BookRefusal::BakeEnded { bake, done, .. } => {
            let mut remedies = vec![Remedy::ShowBake(*bake)];
            remedies.extend(done.map(Remedy::CorrectDoneBake));
            remedies.push(Remedy::StrikeIfWrong {
                about: bake.to_string(),
                entry: None,
            });
            remedies
        }
        BookRefusal::AfterNow { .. } => vec![Remedy::CheckTheClock],
        BookRefusal::FoundTooMuch { lot, .. } => vec![Remedy::StrikeWhatTookTooMuch(*lot)],
        BookRefusal::WouldOverdraw { lot, .. } => vec![Remedy::PutAnotherRightFirst(*lot)],
        BookRefusal::WeighedLater { .. } => vec![Remedy::CountAgain],
        BookRefusal::NothingToJoin => vec![Remedy::NameMoreLots],
        BookRefusal::FormsDiffer(..) => vec![Remedy::TreatOneFirst],
        BookRefusal::NoPlace { name, .. } => vec![Remedy::AddPlace(name.clone())],
        BookRefusal::PlaceTaken(name) => vec![Remedy::ChangePlace(name.clone())],
        BookRefusal::PlaceStatedLater(_) => vec![Remedy::StateLaterOrStrike],
        BookRefusal::NoFormula { known, .. } if known.is_empty() => vec![Remedy::AddFormula],
        BookRefusal::NoFormula { known, .. } => vec![Remedy::KnownFormulas(known.clone())],
        BookRefusal::NotABake { nearest, .. } if nearest.is_empty() => vec![Remedy::ListBakes],
        BookRefusal::NotABake { nearest, .. } => vec![Remedy::NearestBakes(nearest.clone())],
        BookRefusal::NoBake(_) => vec![Remedy::ListBakes],
        BookRefusal::NoEntry(_) => vec![Remedy::ListEntries],
        BookRefusal::ActIdTaken { .. } => vec![Remedy::GiveAnotherActId],
        BookRefusal::NoDevice(_) => vec![Remedy::ListDevices],
        BookRefusal::NotStruck { entry, why } => of_strike(*entry, why),
        BookRefusal::NearSource {
            name,
            near,
            renamed: None,
        } => vec![
            Remedy::NameOldSource(near.clone()),
            Remedy::SayNewSource(name.clone()),
        ],
        BookRefusal::NearSource {
            name,
            near,
            renamed: Some(source),
        } => {
            let merges = near.iter().map(|into| Remedy::MergeSources {
                name: source.clone(),
                into: into.clone(),
            });
            let rename = Remedy::RenameToNear {
                source: source.clone(),
                name: name.clone(),
            };
            merges.chain([rename]).collect()
        }
        BookRefusal::EarlierName {
            now, renamed: None, ..
        } => {
            vec![
                Remedy::NameOldSource(vec![now.clone()]),
                Remedy::GiveNewName,
            ]
        }
        BookRefusal::EarlierName {
            name,
            now,
            renamed: Some(source),
        } => vec![
            Remedy::MergeSources {
                name: source.clone(),
                into: now.clone(),
            },
            Remedy::RenameToNear {
                source: source.clone(),
                name: name.clone(),
            },
        ],
        BookRefusal::SourceTaken { name, taken } => vec![Remedy::MergeSources {
            name: name.clone(),
            into: taken.clone(),
        }],
        BookRefusal::PlaceClosed { place, at, closed } => match closed {
            (from, _) if at < from => vec![Remedy::OpenPlaceFirst(place.clone())],
            (_, None) => vec![Remedy::OpenPlace(place.clone())],
            _ => vec![Remedy::SayWhen],
        },
        BookRefusal::LotsLayThere {
            place, empty_from, ..
        } => vec![Remedy::CloseLater(place.clone(), *empty_from)],
        BookRefusal::LotsLieThere { .. } => vec![Remedy::MoveThemFirst],
        BookRefusal::NotCorrected(entry, kind) => vec![Remedy::StrikeAndEnterAgain(*entry, *kind)],
        BookRefusal::MashedOutAfterPickup { .. } => vec![Remedy::CorrectPickupTime],
        BookRefusal::MoreThanLeft { lot, .. } => vec![Remedy::CountIt(*lot)],
        BookRefusal::NotTheBrewDay { .. } => vec![Remedy::BrewDayInCode],
        BookRefusal::AfterItWasWritten {
            goes_along: false, ..
        } => vec![Remedy::SayWhen],
        BookRefusal::BeforeArrival { entry: None, .. } => vec![Remedy::SayWhen],
        BookRefusal::BeforeArrival {
            entry: Some(entry), ..
        }
        | BookRefusal::ColdBeforeMashOut {
            entry: Some(entry), ..
        }
        | BookRefusal::AfterItWasWritten {
            entry,
            goes_along: true,
            ..
        } => vec![Remedy::CorrectTimeFirst(*entry)],
        BookRefusal::NothingLeft(lot) => vec![Remedy::TraceIt(*lot)],
        BookRefusal::ColdBeforeMashOut { .. }
        | BookRefusal::AlreadyThere { .. }
        | BookRefusal::KindsDiffer(..)
        | BookRefusal::TooHeavy
        | BookRefusal::NoSource { .. }
        | BookRefusal::SameSource { .. }
        | BookRefusal::DoneBefore { .. }
        | BookRefusal::NoVersion { .. }
        | BookRefusal::SameFormula { .. } => Vec::new(),
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
        NotStruck::GrainOfDoneBake { bake, strike, .. }
        | NotStruck::GrainWithBake { bake, strike, .. } => vec![Remedy::StrikeDoneBake {
            bake: *bake,
            strike: strike.clone(),
        }],
        NotStruck::MovedWithBake(done) => vec![Remedy::TakeInstead(*done)],
        NotStruck::GrainCorrectedSince(since) => vec![Remedy::StrikeBefore {
            first: since.clone(),
            then: entry,
        }],
        NotStruck::BakeIsStruck(by) | NotStruck::GrainOfStruckBake(by) => {
            vec![Remedy::StrikeFirst(*by)]
        }
        NotStruck::BakeEnded { ended, .. } => vec![Remedy::StrikeFirst(*ended)],
        NotStruck::OnlyStatementOfBake(bake) => vec![Remedy::ChangeOrDropBake(*bake)],
    }
}
