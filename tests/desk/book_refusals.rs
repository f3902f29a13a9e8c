//! One of each of what the book itself refuses.

use crate::bakery::{at, mass};
use draffbook::dough::bake_code::BakeCode;
use draffbook::grain::{Form, Kind, LotCode};
use draffbook::ledger::refusal::{Arrival, NoLot, NotStruck};
use draffbook::ledger::{BookRefusal, EntryKind};
use draffbook::quantity::Problem;

pub fn all(lot: LotCode) -> Vec<BookRefusal> {
    let (bake, left) = (BakeCode::new(1), mass("2kg"));
    let (came, now) = (at("2026-11-20T08:00:00Z"), at("2026-11-20T12:00:00Z"));
    let (name, known) = ("cellar".to_owned(), vec!["fridge".to_owned()]);
    let mut all = vec![
        BookRefusal::SeveralLots {
            typed: "1T".to_owned(),
            lots: vec![lot, lot],
        },
        BookRefusal::LotStruck { lot, by: 7 },
        BookRefusal::NothingLeft(lot),
        BookRefusal::MoreThanLeft {
            lot,
            left,
            wanted: mass("3kg"),
        },
        BookRefusal::ColdBeforeMashOut {
            lot,
            entry: Some(7),
            mash_out: came,
        },
        BookRefusal::AlreadyThere {
            lot,
            place: name.clone(),
        },
        BookRefusal::MovedLater { lot, entry: 7 },
        BookRefusal::AfterNow { at: now, now: came },
        BookRefusal::FoundTooMuch {
            lot,
            left,
            found: mass("9kg"),
            most: mass("100g"),
        },
        BookRefusal::WeighedLater { lot, entry: 7 },
        BookRefusal::NothingToJoin,
        BookRefusal::FormsDiffer((lot, Form::Whole), (lot, Form::Pressed)),
        BookRefusal::KindsDiffer((lot, Kind::Mashed), (lot, Kind::Steeped)),
        BookRefusal::TooHeavy,
        BookRefusal::NoBook("book.draff".into()),
        BookRefusal::EmptyFile("book.draff".into()),
        BookRefusal::BackupNamesAFolder("stick".into()),
        BookRefusal::NoPlace {
            name: name.clone(),
            known: known.clone(),
        },
        BookRefusal::PlaceTaken(name.clone()),
        BookRefusal::PlaceStatedLater(name.clone()),
        BookRefusal::NoSource {
            name: name.clone(),
            known: known.clone(),
        },
        BookRefusal::NearSource {
            name: "Tarn Fel".to_owned(),
            near: vec!["Tarn Fell".to_owned()],
            renamed: None,
        },
        BookRefusal::NearSource {
            name: "Tarn Fel".to_owned(),
            near: vec!["Tarn Fell".to_owned()],
            renamed: Some("Alder Lane".to_owned()),
        },
        BookRefusal::EarlierName {
            name: "Tarn Fel".to_owned(),
            now: "Tarn Fell".to_owned(),
            renamed: None,
        },
        BookRefusal::EarlierName {
            name: "Tarn Fel".to_owned(),
            now: "Tarn Fell".to_owned(),
            renamed: Some("Alder Lane".to_owned()),
        },
        BookRefusal::SourceTaken {
            name: "Tarn Fel".to_owned(),
            taken: "Tarn Fell".to_owned(),
        },
        BookRefusal::SameSource {
            name: "Tarn Fel".to_owned(),
            into: "Tarn Fell".to_owned(),
        },
        BookRefusal::LotsLieThere {
            place: name.clone(),
            lots: vec![lot],
        },
        BookRefusal::LotsLayThere {
            place: name.clone(),
            lots: vec![lot],
            empty_from: now,
        },
        BookRefusal::NotCorrected(7, EntryKind::Plan),
        BookRefusal::MashedOutAfterPickup {
            lot,
            mash_out: now,
            came,
        },
        BookRefusal::NotTheBrewDay {
            lot,
            mashed_on: chrono::NaiveDate::from_ymd_opt(2026, 11, 26).unwrap(),
            brewed_on: lot.brewed_on(),
        },
        BookRefusal::AfterItWasWritten {
            entry: 7,
            written: came,
            at: now,
            goes_along: false,
        },
        BookRefusal::AfterItWasWritten {
            entry: 7,
            written: came,
            at: now,
            goes_along: true,
        },
        BookRefusal::NoFormula {
            name: name.clone(),
            known: Vec::new(),
        },
        BookRefusal::NoFormula {
            name: name.clone(),
            known,
        },
        BookRefusal::NoVersion {
            name: name.clone(),
            version: 3,
            newest: 2,
        },
        BookRefusal::SameFormula { name, version: 2 },
        BookRefusal::NotABake {
            problem: Problem::new("`x` is no code of a bake"),
            nearest: Vec::new(),
        },
        BookRefusal::NotABake {
            problem: Problem::new("bake `B-1R` has the wrong last character"),
            nearest: vec![bake],
        },
        BookRefusal::NoBake(bake),
        BookRefusal::BakeEnded {
            bake,
            how: "done",
            done: Some(9),
        },
        BookRefusal::NoEntry(7),
        BookRefusal::DoneBefore { entry: Some(7) },
        BookRefusal::DoneBefore { entry: None },
        BookRefusal::ActIdTaken { entry: Some(7) },
        BookRefusal::NoDevice(7),
        BookRefusal::WouldOverdraw { lot, by: left },
    ];
    for (moment, until) in [(came, None), (now, None), (now, Some(now))] {
        all.push(BookRefusal::PlaceClosed {
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
            all.push(BookRefusal::NoLot { why, nearest });
        }
    }
    for how in [Arrival::Collected, Arrival::PartedOff, Arrival::Made] {
        all.push(BookRefusal::BeforeArrival {
            lot,
            how,
            came: now,
            at: came,
            entry: None,
        });
        all.push(BookRefusal::BeforeArrival {
            lot,
            how,
            came: now,
            at: came,
            entry: Some(9),
        });
    }
    for why in [
        NotStruck::Already(9),
        NotStruck::Amended(9),
        NotStruck::GrainWithBake {
            bake,
            by: 9,
            strike: vec![8],
        },
        NotStruck::StrikesAStrike(3),
        NotStruck::LotIsVoid(lot, 8),
        NotStruck::WeighedOn(9),
        NotStruck::OnlyStatementOfPlace,
        NotStruck::RestOnIt(vec![8, 9]),
        NotStruck::StruckWith(9),
        NotStruck::GrainOfDoneBake {
            bake,
            done: 9,
            strike: vec![9, 8],
        },
        NotStruck::MovedWithBake(9),
        NotStruck::GrainCorrectedSince(vec![9]),
        NotStruck::GrainCorrectedSince(vec![10, 9]),
        NotStruck::BakeIsStruck(9),
        NotStruck::GrainOfStruckBake(9),
        NotStruck::BakeEnded { bake, ended: 9 },
        NotStruck::OnlyStatementOfBake(bake),
    ] {
        all.push(BookRefusal::NotStruck { entry: 7, why });
    }
    all
}
