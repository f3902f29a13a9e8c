//! One of each of what the book itself refuses.

use crate::bakery::{at, mass};
use draffbook::dough::bake_code::BakeCode;
use draffbook::grain::{Form, Kind, LotCode};
use draffbook::ledger::refusal::{Arrival, NoLot, NotStruck};
use draffbook::ledger::{EntryKind, Refusal};
use draffbook::quantity::Problem;

pub fn all(lot: LotCode) -> Vec<Refusal> {
    let (bake, left) = (BakeCode::new(1), mass("2kg"));
    let (came, now) = (at("2026-11-20T08:00:00Z"), at("2026-11-20T12:00:00Z"));
    let (name, known) = ("cellar".to_owned(), vec!["fridge".to_owned()]);
    let mut all = vec![
        Refusal::SeveralLots {
            typed: "1T".to_owned(),
            lots: vec![lot, lot],
        },
        Refusal::LotStruck { lot, by: 7 },
        Refusal::NothingLeft(lot),
        Refusal::MoreThanLeft {
            lot,
            left,
            wanted: mass("3kg"),
        },
        Refusal::ColdBeforeMashOut {
            lot,
            entry: Some(7),
            mash_out: came,
        },
        Refusal::AlreadyThere {
            lot,
            place: name.clone(),
        },
        Refusal::MovedLater { lot, entry: 7 },
        Refusal::AfterNow { at: now, now: came },
        Refusal::FoundTooMuch {
            lot,
            left,
            found: mass("9kg"),
            most: mass("100g"),
        },
        Refusal::WeighedLater { lot, entry: 7 },
        Refusal::NothingToJoin,
        Refusal::FormsDiffer((lot, Form::Whole), (lot, Form::Pressed)),
        Refusal::KindsDiffer((lot, Kind::Mashed), (lot, Kind::Steeped)),
        Refusal::TooHeavy,
        Refusal::NoBook("book.draff".into()),
        Refusal::EmptyFile("book.draff".into()),
        Refusal::BackupNamesAFolder("stick".into()),
        Refusal::NoPlace {
            name: name.clone(),
            known: known.clone(),
        },
        Refusal::PlaceTaken(name.clone()),
        Refusal::PlaceStatedLater(name.clone()),
        Refusal::NoSource {
            name: name.clone(),
            known: known.clone(),
        },
        Refusal::NearSource {
            name: "Tarn Fel".to_owned(),
            near: vec!["Tarn Fell".to_owned()],
        },
        Refusal::SourceTaken {
            name: "Tarn Fel".to_owned(),
            taken: "Tarn Fell".to_owned(),
        },
        Refusal::SameSource {
            name: "Tarn Fel".to_owned(),
            into: "Tarn Fell".to_owned(),
        },
        Refusal::LotsLieThere {
            place: name.clone(),
            lots: vec![lot],
        },
        Refusal::LotsLayThere {
            place: name.clone(),
            lots: vec![lot],
            empty_from: now,
        },
        Refusal::NotCorrected(7, EntryKind::Plan),
        Refusal::MashedOutAfterPickup {
            lot,
            mash_out: now,
            came,
        },
        Refusal::NotTheBrewDay {
            lot,
            mashed_on: chrono::NaiveDate::from_ymd_opt(2026, 11, 26).unwrap(),
            brewed_on: lot.brewed_on(),
        },
        Refusal::AfterItWasWritten {
            entry: 7,
            written: came,
            at: now,
        },
        Refusal::NoFormula {
            name: name.clone(),
            known: Vec::new(),
        },
        Refusal::NoFormula {
            name: name.clone(),
            known,
        },
        Refusal::NoVersion {
            name: name.clone(),
            version: 3,
            newest: 2,
        },
        Refusal::SameFormula { name, version: 2 },
        Refusal::NotABake(Problem::new("`x` is no code of a bake")),
        Refusal::NoBake(bake),
        Refusal::BakeEnded {
            bake,
            how: "done",
            done: Some(9),
        },
        Refusal::NoEntry(7),
        Refusal::DoneBefore { entry: Some(7) },
        Refusal::DoneBefore { entry: None },
        Refusal::ActIdTaken { entry: Some(7) },
        Refusal::NoDevice(7),
        Refusal::WouldOverdraw { lot, by: left },
    ];
    for (moment, until) in [(came, None), (now, None), (now, Some(now))] {
        all.push(Refusal::PlaceClosed {
            place: "cellar".to_owned(),
            at: moment,
            closed: (at("2026-11-20T10:00:00Z"), until),
        });
    }
    for nearest in [Vec::new(), vec![lot.to_string()]] {
        for why in [
            NoLot::Malformed(Problem::new("`x` is no code of a lot")),
            NoLot::NoSuchEnd("1T".to_owned()),
            NoLot::Mistyped(lot.to_string()),
            NoLot::Unknown(lot),
        ] {
            let nearest = nearest.clone();
            all.push(Refusal::NoLot { why, nearest });
        }
    }
    for how in [Arrival::Collected, Arrival::PartedOff, Arrival::Made] {
        all.push(Refusal::BeforeArrival {
            lot,
            how,
            came: now,
            at: came,
        });
    }
    for why in [
        NotStruck::Already(9),
        NotStruck::Amended(9),
        NotStruck::StrikesAStrike(3),
        NotStruck::LotIsVoid(lot, 8),
        NotStruck::WeighedOn(9),
        NotStruck::OnlyStatementOfPlace,
        NotStruck::RestOnIt(vec![8, 9]),
        NotStruck::StruckWith(9),
        NotStruck::GrainOfDoneBake {
            bake,
            done: vec![9, 8],
        },
        NotStruck::MovedWithBake(9),
        NotStruck::GrainCorrectedSince(9),
        NotStruck::BakeIsStruck(9),
        NotStruck::BakeEnded { bake, ended: 9 },
        NotStruck::OnlyStatementOfBake(bake),
    ] {
        all.push(Refusal::NotStruck { entry: 7, why });
    }
    all
}
