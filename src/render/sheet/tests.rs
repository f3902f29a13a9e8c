//! Both forms of the bench sheet, of the shipped formulas.

use super::*;
use crate::dough::batch::warmth::{self, GrainTemperature, Temperatures};
use crate::dough::batch::{self, BatchRequest, Size};
use crate::dough::doneness;
use crate::dough::formula::Formula;
use crate::dough::mixing_heat::learned;
use crate::dough::thirst::ThirstRule;
use crate::dough::timetable::{Point, work_out};
use crate::grain::Form;
use crate::keeping::Verdict;
use crate::quantity::{Instant, Milligrams, Uncertain};
use crate::render::sheet_html::page;
use crate::report::sheet::SheetDraw;
use chrono::NaiveTime;
use std::path::{Path, PathBuf};

const FORMULAS: [(&str, &str); 4] = [
    (
        "pan-loaf",
        include_str!("../../../demo-data/formulas/pan-loaf.toml"),
    ),
    (
        "hearth-loaf",
        include_str!("../../../demo-data/formulas/hearth-loaf.toml"),
    ),
    (
        "seeded-roll",
        include_str!("../../../demo-data/formulas/seeded-roll.toml"),
    ),
    (
        "flatbread",
        include_str!("../../../demo-data/formulas/flatbread.toml"),
    ),
];

fn at(text: &str) -> Instant {
    text.parse().unwrap()
}

fn zone() -> Zone {
    Zone::named("Europe/Dublin").unwrap()
}

fn clock(text: &str) -> NaiveTime {
    NaiveTime::parse_from_str(text, "%H:%M").unwrap()
}

fn draw(lot: &str, wet: &str) -> SheetDraw {
    SheetDraw {
        lot: lot.to_owned(),
        wet: wet.parse::<Milligrams>().unwrap().mass(),
        verdict: Verdict::Good,
        keep_until: Some(at("2026-11-26T23:59:59Z")),
        place: Some("walk-in fridge".to_owned()),
        conditions: Vec::new(),
        spoiled_part: None,
        form: Form::Whole,
        may_scald: false,
        still_to: None,
        thaw_by: None,
        thaw_latest: None,
        only_frozen: false,
    }
}

/// A formula mixed on Friday 20 November 2026 at 06:00 with grain of 77 %.
fn answer(source: &str, pieces: u32) -> SheetAnswer {
    let formula = Formula::from_text(source).unwrap();
    let piece = formula.piece.unwrap().mass();
    let batch = batch::work_out(&BatchRequest {
        formula: &formula,
        size: Size::Pieces {
            count: pieces,
            piece,
        },
        share: formula.grain.wanted,
        moisture: Uncertain::known(0.77, 0.0054),
        thirst: None,
        scale: "1g".parse().unwrap(),
        fine_scale: "0.1g".parse().unwrap(),
    })
    .unwrap();
    let earlier = formula.stages.len() - 1;
    let temperatures = Temperatures {
        thaw: crate::dough::house::Thaw::Takes(chrono::Duration::hours(24)),
        tap: 11.0,
        room: Some(20.0),
        flour: 19.0,
        grain: Some(GrainTemperature::Even(4.0)),
        stages: vec![20.0; earlier],
        dough: formula.dough_temperature.unwrap().degrees_celsius(),
    };
    let mut first = draw("ALD-261120-1T", "1kg");
    first.wet = batch.grain_weight().mass();
    SheetAnswer {
        bake: "B-1S".to_owned(),
        version: 2,
        pieces,
        piece,
        allergens: formula.allergens(),
        free_of: None,
        firm: true,
        is_left_out: false,
        note: Some("six for Alder Lane, sliced".to_owned()),
        book: "Quernhollow Bakery".to_owned(),
        draws: vec![first],
        fridge: Some("fridge".to_owned()),
        put_together: false,
        short: uom::si::f64::Mass::default(),
        moisture_from: "one test of this lot".to_owned(),
        drying: Vec::new(),
        moisture_standard: 0.01,
        thirst: ThirstRule::default(),
        scale: None,
        given: Vec::new(),
        missing: Vec::new(),
        warmth: Some(warmth::work_out(
            &batch,
            &temperatures,
            learned(formula.mixing_rise, &[]),
        )),
        timetable: work_out(&formula, Point::Mix, at("2026-11-20T06:00:00Z")).unwrap(),
        night: Some((clock("22:00"), clock("06:30"))),
        core: doneness::core(Some(40.0)).unwrap(),
        printed_at: at("2026-11-19T16:00:00Z"),
        batch,
        formula,
    }
}

fn both(answer: &SheetAnswer, units: Units) -> [String; 2] {
    [text(answer, &zone(), units), page(answer, &zone(), units)]
}

/// Sheets with little and with much to say.
fn many() -> Vec<SheetAnswer> {
    let mut all = Vec::new();
    for (_, source) in FORMULAS {
        all.push(answer(source, 12));
        all.push(answer(source, 48));
        let mut bare = answer(source, 12);
        bare.draws.clear();
        bare.warmth = None;
        bare.note = None;
        all.push(bare);
        let mut full = answer(source, 100);
        full.draws = vec![
            draw("ALD-261120-1T", "1kg"),
            draw("ALD-261120-2R", "2kg"),
            draw("THR-261120-2R", "2kg"),
            draw("THR-261121-2R", "2kg"),
        ];
        full.draws[1].verdict = Verdict::UseFirst;
        full.draws[1].keep_until = None;
        full.draws[2].verdict = Verdict::Unknown;
        full.draws[3].verdict = Verdict::Past;
        all.push(full);
    }
    all
}

/// `UPDATE_DOCS=1 cargo test sheet` writes the files anew; look at them before they are kept.
#[test]
fn the_sheet_of_the_pan_loaf_is_the_one_that_was_looked_at() {
    let [text, page] = both(&answer(FORMULAS[0].1, 12), Units::Metric);
    for (name, written) in [("pan-loaf.txt", text), ("pan-loaf.html", page)] {
        let path: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/sheets")
            .join(name);
        if std::env::var_os("UPDATE_DOCS").is_some() {
            std::fs::write(&path, &written).unwrap();
        }
        assert!(
            std::fs::read_to_string(&path).unwrap() == written,
            "{name} differs:\n{written}"
        );
    }
}

#[test]
fn what_is_to_be_weighed_is_what_the_batch_says() {
    for answer in many() {
        let sheet = text(&answer, &zone(), Units::Metric);
        let html = page(&answer, &zone(), Units::Metric);
        // Boxes with a weight behind them that is not that of a lot. Grain of lots has none: each lot has its own.
        let shown: Vec<f64> = sheet
            .lines()
            .filter_map(|line| {
                let of_lots = line.ends_with("grain:") || line.ends_with(" in all:");
                let of_lots = of_lots.then_some(line);
                line.strip_prefix("  [ ] ").or(of_lots)
            })
            .filter(|rest| !rest.contains(':') || rest.contains(" g  "))
            .map(|rest| {
                rest.split_whitespace()
                    .next()
                    .and_then(|number| number.parse().ok())
                    .unwrap_or_else(|| panic!("{rest}"))
            })
            .collect();
        let batch: Vec<f64> = answer
            .batch
            .stages
            .iter()
            .flat_map(|stage| &stage.lines)
            .map(|line| line.weight.grams())
            .collect();
        assert_eq!(shown, batch, "{sheet}");
        let in_html = html.matches("class=\"weight\"").count();
        assert_eq!(in_html, batch.len() + 1, "and the water temperature");
        for line in answer.batch.stages.iter().flat_map(|stage| &stage.lines) {
            let weight = super::super::batch::on_the_scale(line.weight, Units::Metric);
            assert!(html.contains(&format!(">{weight}</td>")), "{weight}");
        }
    }
}

#[test]
fn pour_and_hold_back_stand_out() {
    let answer = answer(FORMULAS[0].1, 12);
    let [sheet, html] = both(&answer, Units::Metric);
    assert!(sheet.contains("POUR FIRST: water") && sheet.contains("HOLD BACK: water"));
    assert_eq!(html.matches("class=\"large\"").count(), 3);
}

#[test]
fn every_line_fits_the_narrowest_terminal() {
    for answer in many() {
        for units in [Units::Metric, Units::Us] {
            for line in text(&answer, &zone(), units).lines() {
                let columns = unicode_width::UnicodeWidthStr::width(line);
                assert!(columns <= WIDTH, "{columns}: {line}");
                assert_eq!(line, line.trim_end());
            }
        }
    }
}

#[test]
fn the_page_loads_nothing_and_runs_nothing() {
    for answer in many() {
        let html = page(&answer, &zone(), Units::Metric);
        for word in [
            "<script", "http:", "https:", "src=", "href=", "url(", "@import", "<link",
        ] {
            assert!(!html.contains(word), "{word}");
        }
        assert!(html.starts_with("<!DOCTYPE html><html lang=\"en\">"));
        assert!(html.contains("default-src 'none'"));
    }
}

#[test]
fn what_the_book_says_is_text_and_never_markup() {
    let mut answer = answer(FORMULAS[0].1, 12);
    let hostile = "</style><script>x</script>\"'&";
    answer.note = Some(hostile.to_owned());
    answer.book = hostile.to_owned();
    answer.bake = hostile.to_owned();
    answer.moisture_from = hostile.to_owned();
    answer.formula.name = hostile.to_owned();
    answer.formula.steps[0].words = Some(hostile.to_owned());
    answer.batch.stages[0].name = hostile.to_owned();
    answer.batch.stages[0].lines[0].name = hostile.to_owned();
    answer.draws[0].lot = hostile.to_owned();
    answer.draws[0].place = Some(hostile.to_owned());
    let html = page(&answer, &zone(), Units::Metric);
    assert!(!html.contains("<script") && !html.contains("script>x"));
    assert_eq!(html.matches("</style>").count(), 1);
    assert!(html.contains("&lt;/style&gt;&lt;script&gt;"));
}

#[test]
fn grain_that_may_not_go_in_says_so_and_why_baking_does_not_help() {
    let mut answer = answer(FORMULAS[0].1, 12);
    for sheet in both(&answer, Units::Metric) {
        assert!(!sheet.contains("DO NOT USE") && !sheet.contains("spoiled"));
    }
    for verdict in [Verdict::Past, Verdict::Unknown] {
        answer.draws[0].verdict = verdict;
        for sheet in both(&answer, Units::Metric) {
            let flag = format!("{verdict}: do not use").to_uppercase();
            assert!(sheet.contains(&flag), "{sheet}");
            assert!(sheet.contains("Baking does not make spoiled grain safe"));
        }
    }
    // Good today and past when the final dough is mixed.
    answer.draws[0].verdict = Verdict::Good;
    answer.draws[0].keep_until = Some(at("2026-11-20T05:59:59Z"));
    for sheet in both(&answer, Units::Metric) {
        let sheet = sheet.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            sheet.contains("PAST when it would go in: DO NOT USE"),
            "{sheet}"
        );
    }
    // On the dot it still may.
    answer.draws[0].keep_until = Some(at("2026-11-20T06:00:00Z"));
    assert!(answer.may_be_used(&answer.draws[0]));
}

#[test]
fn the_moment_that_counts_is_that_of_the_stage_that_takes_the_grain() {
    let mut answer = answer(FORMULAS[0].1, 12);
    answer.formula.grain.stage = 0;
    assert_eq!(answer.stage_at(0), at("2026-11-19T18:00:00Z"));
    answer.draws[0].keep_until = Some(at("2026-11-19T23:59:59Z"));
    assert!(answer.may_be_used(&answer.draws[0]));
    answer.formula.grain.stage = 1;
    assert!(!answer.may_be_used(&answer.draws[0]));
}

#[test]
fn what_is_not_known_yet_is_a_blank() {
    let mut answer = answer(FORMULAS[0].1, 12);
    answer.draws.clear();
    answer.warmth = None;
    answer.missing = vec!["tap", "room", "grain_temp"];
    let [sheet, html] = both(&answer, Units::Metric);
    assert!(sheet.contains("lot ____________________  until ______________"));
    let joined = sheet.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(joined.contains(
        "WATER TEMPERATURE: not calculated yet: measure tap, room and grain, then type: draff sheet B-1S --tap 12C --room 21C --grain-temp 4C"
    ));
    assert_eq!(html.matches("class=\"blank\"").count(), 3);
    answer.missing = vec!["grain_temp"];
    let [sheet, _] = both(&answer, Units::Us);
    let joined = sheet.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(joined.contains("measure the grain, then type"), "{joined}");
    assert!(
        joined.contains("draff sheet B-1S --grain-temp 39F"),
        "{joined}"
    );
    assert!(!joined.contains("--tap"), "{joined}");
}

#[test]
fn water_that_does_not_do_says_what_does() {
    let mut answer = answer(FORMULAS[0].1, 12);
    let mut temperatures = Temperatures {
        thaw: crate::dough::house::Thaw::Takes(chrono::Duration::hours(24)),
        tap: 11.0,
        room: None,
        flour: 12.0,
        grain: Some(GrainTemperature::Even(-18.0)),
        stages: vec![12.0],
        dough: 26.0,
    };
    let mut joined = |temperatures: &Temperatures| {
        answer.warmth = Some(warmth::work_out(
            &answer.batch,
            temperatures,
            learned(answer.formula.mixing_rise, &[]),
        ));
        both(&answer, Units::Metric)
            .map(|sheet| sheet.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    for sheet in joined(&temperatures) {
        assert!(
            sheet.contains("of 19 °C or more, water of 43 °C is enough"),
            "{sheet}"
        );
        assert!(
            sheet.contains("out of the freezer and into the fridge 24 h before mixing"),
            "{sheet}"
        );
    }
    temperatures = Temperatures {
        thaw: crate::dough::house::Thaw::Takes(chrono::Duration::hours(24)),
        tap: 25.0,
        flour: 30.0,
        grain: Some(GrainTemperature::Even(5.0)),
        stages: vec![28.0],
        dough: 24.0,
        room: None,
    };
    for sheet in joined(&temperatures) {
        assert!(sheet.contains("g of ice"), "{sheet}");
        assert!(sheet.contains("the rest from the tap at 25 °C"), "{sheet}");
    }
}

#[test]
fn the_middle_of_a_loaf_is_never_asked_to_be_hotter_than_water_boils_there() {
    let mut answer = answer(FORMULAS[0].1, 12);
    let mut baked = |altitude| {
        answer.core = doneness::core(altitude).unwrap();
        let sheet = text(&answer, &zone(), Units::Metric);
        let signs = sheet.split("baked     ").nth(1).unwrap();
        let signs = signs.split("ACTUAL VALUES").next().unwrap();
        signs.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(
        baked(None),
        "the bottom sounds hollow when knocked; the middle shows 88 °C to 93 °C, of dense whole-grain loaves 96 °C to 99 °C (at sea level, less on a mountain)"
    );
    assert_eq!(
        baked(Some(2000.0)),
        "the bottom sounds hollow when knocked; the middle shows 88 °C to 92 °C, dense whole-grain loaves the same (at 2000 m, where water boils at 93 °C)"
    );
    assert_eq!(
        baked(Some(4000.0)),
        "the bottom sounds hollow when knocked; no thermometer tells (at 4000 m, where water boils at 87 °C)"
    );
}

#[test]
fn pounds_and_fahrenheit_are_honoured() {
    for (_, source) in FORMULAS {
        for sheet in both(&answer(source, 12), Units::Us) {
            let body = sheet.split("</style>").last().unwrap();
            // Small weights have grams beside the ounces.
            let body = body
                .split(" oz (")
                .map(|part| part.split_once(" g)").map_or(part, |(_, rest)| rest))
                .collect::<Vec<_>>()
                .join(" oz");
            for word in ["°C", " kg", "0 g", "5 g"] {
                assert!(!body.contains(word), "{word}: {body}");
            }
        }
    }
}

/// The sheets of [`many`] and of formulas with up to 24 steps or five stages were printed with Chromium,
/// headless, on A4 and on letter, in both units: one page each. What was calculated for them is held here.
#[test]
fn type_is_as_large_as_one_page_allows() {
    let points = |answer: &SheetAnswer| -> f64 {
        let html = page(answer, &zone(), Units::Metric);
        let (_, rest) = html.split_once("body { font-size: ").unwrap();
        rest.split_once("pt").unwrap().0.parse().unwrap()
    };
    for (name, source) in FORMULAS {
        for pieces in [12, 48] {
            let points = points(&answer(source, pieces));
            assert!((11.0..=14.0).contains(&points), "{name}: {points}");
        }
    }
    let mut source = FORMULAS[0].1.to_owned();
    let mut before = points(&answer(&source, 12));
    for _ in 0..10 {
        source.push_str(
            "[[step]]\ndo = \"rest\"\nwords = \"until it looks right\"\ntakes = \"10min\"\n"
                .repeat(4)
                .as_str(),
        );
        let after = points(&answer(&source, 12));
        assert!(after <= before);
        before = after;
    }
    assert_eq!(before, 7.0);
}
