//! A report as a page to show and to print: one question a page, a picture and the numbers below it. Long tables stand at the
//! end, or a question would run over its page.

use super::grid::grid;
use super::table::{Cell, Reader, Section};
use crate::grain::{Form, Kind, LotCode};
use crate::ledger::MovementKind;
use crate::quantity::text::count;
use crate::quantity::{Zone, mass};
use crate::render::chart::{self, Bar, Dot, Fill};
use crate::render::numbers::percent;
use crate::render::{html_page, shelf_html, source_chart};
use crate::report::period::{EndedBake, PeriodReport, SourceBalance, Supply};
use crate::report::{Caution, SourceChart};
use maud::{Markup, PreEscaped, html};
use std::collections::{BTreeMap, HashSet};

const STYLE: &str = concat!(include_str!("../chart.css"), include_str!("report.css"));

/// Bars of water that are drawn; of more the last ones.
const DOUGHS: usize = 24;

/// The whole page.
pub fn page(report: &PeriodReport, reader: Reader<'_>, cautions: &[Caution]) -> String {
    let title = format!("{}, {}", report.book, super::days_of(report, reader.zone));
    let header = html! {
        header {
            h1 { (super::heading(report, reader)) }
            p { (title) }
        }
    };
    let footer = html! {
        footer {
            ul.cautions {
                @for caution in cautions { li { (reader.units.in_words(&caution.text())) } }
            }
        }
    };
    // A report of ten years is many megabytes: the header goes into the same text, so that there is no second copy.
    let mut body = questions(report, reader).into_string();
    body.insert_str(0, &header.into_string());
    body.push_str(&footer.into_string());
    html_page::whole(&title, STYLE, PreEscaped(body))
}

/// Every question, for whoever has a page of his own, and the long tables behind them.
pub fn questions(report: &PeriodReport, reader: Reader<'_>) -> Markup {
    let sections = super::sections(report, reader);
    let tables = sections.iter().flat_map(|section| &section.tables);
    let mut long = tables.filter(|table| table.is_long()).peekable();
    html! {
        (chart::hatches(["slanted", "lying", "dotted"]))
        @for section in &sections {
            section.question {
                h2 { (section.title) }
                p.says { (section.says) }
                (pictures(section, report, reader))
                @for table in &section.tables {
                    @if table.is_long() {
                        p { (table.title) ": " (table.rows.len()) " lines under " a href=(format!("#figures-{}", table.key)) { "Figures" } ", at the end." }
                    } @else {
                        (grid(table, reader))
                    }
                }
            }
        }
        @if long.peek().is_some() {
            section.figures {
                h2 { "Figures" }
                @for table in long {
                    div id=(format!("figures-{}", table.key)) { (grid(table, reader)) }
                }
            }
        }
    }
}

/// The pictures of a question, known by its first table. What is seen in them is the answer above them.
fn pictures(section: &Section, report: &PeriodReport, reader: Reader<'_>) -> Markup {
    let says = finding(&section.says);
    match section.tables[0].key {
        "balance" => flow(says, report, reader),
        "breads" => {
            html! { (breads(says, report, reader)) (saved(says, report)) (weekdays(section, reader)) }
        }
        "bakes" => supplied(says, report),
        "promises" => promised(says, report),
        "lots" => moisture(says, report, reader.zone),
        "water" => water(says, report, reader),
        "on_hand" => shelf_html::life(&report.on_hand, says),
        _ => html! {},
    }
}

/// The first sentence of an answer: what follows counts on, or says what could be done.
fn finding(says: &str) -> &str {
    says.find(". ").map_or(says, |end| &says[..=end])
}

fn kilograms(wet: i64) -> f64 {
    wet as f64 / 1e6
}

fn flow(says: &str, report: &PeriodReport, reader: Reader<'_>) -> Markup {
    let of = |one: &SourceBalance| {
        let there = kilograms(one.opening.wet);
        let came = kilograms(one.total_in().saturating_sub(one.opening.wet));
        let out = |kind| kilograms(one.way(kind).wet.max(0));
        let lost = out(MovementKind::Treatment)
            + out(MovementKind::Missing)
            + kilograms(-one.from_others.min(0));
        [
            Bar {
                label: format!("{}, in", one.source),
                parts: vec![(Fill::White, there), (Fill::Grey, came)],
                mark: None,
                text: reader.weighed(one.total_in()),
            },
            Bar {
                label: "out".to_owned(),
                parts: vec![
                    (Fill::Black, out(MovementKind::Baked)),
                    (Fill::Dotted, out(MovementKind::Given)),
                    (Fill::Slanted, kilograms(one.thrown_away().wet)),
                    (Fill::Lying, lost),
                    (Fill::White, kilograms(one.closing.wet)),
                ],
                mark: None,
                text: format!("{} baked", reader.weighed(one.way(MovementKind::Baked).wet)),
            },
        ]
    };
    let bars: Vec<Bar> = report.sources.iter().flat_map(of).collect();
    let key = [
        (Fill::White, "on hand before, on hand after"),
        (Fill::Grey, "came in, water added, found more, joined in"),
        (Fill::Black, "into bakes"),
        (Fill::Dotted, "given as food"),
        (Fill::Slanted, "thrown away"),
        (Fill::Lying, "lost in treatments, missing, to other sources"),
    ];
    chart::bars("Wet grain in and out, by source", says, &bars, &key)
}

fn breads(says: &str, report: &PeriodReport, reader: Reader<'_>) -> Markup {
    let breads = report.breads.iter();
    let unit = reader
        .units
        .unit_of(breads.clone().map(|bread| bread.grain.dry));
    let bars: Vec<Bar> = breads
        .map(|bread| Bar {
            label: bread.name.clone(),
            parts: vec![(Fill::Grey, mass::grams(bread.grain.dry))],
            mark: None,
            text: unit.shown(bread.grain.dry),
        })
        .collect();
    chart::bars("Flour saved, by formula", says, &bars, &[])
}

fn saved(says: &str, report: &PeriodReport) -> Markup {
    let mut sum = 0.0;
    let dots: Vec<Dot> = report
        .days
        .iter()
        .map(|(day, dry)| {
            sum += mass::grams(*dry) / 1e3;
            Dot {
                day: *day,
                value: sum,
                half: 0.0,
                is_full: true,
                name: None,
            }
        })
        .collect();
    chart::dots("Flour saved so far, in kg", says, &dots, "kg", None, true)
}

fn weekdays(section: &Section, reader: Reader<'_>) -> Markup {
    let tables = section
        .tables
        .iter()
        .filter(|table| table.key == "weekdays");
    let bars: Vec<Bar> = tables
        .flat_map(|table| {
            let unit = reader.unit_of(table);
            table.rows.iter().map(move |row| (row, unit))
        })
        .map(|(row, unit)| {
            let dry = match &row[1] {
                Cell::Mass(dry) => mass::grams(*dry),
                _ => 0.0,
            };
            Bar {
                label: reader.cell(&row[0], unit),
                parts: vec![(Fill::Grey, dry)],
                mark: None,
                text: reader.cell(&row[1], unit),
            }
        })
        .collect();
    let label = "Dry grain into dough, by day of the week";
    chart::bars(label, finding(&section.says), &bars, &[])
}

/// Sums of parts of bakes, by formula.
fn by_formula<const N: usize>(
    report: &PeriodReport,
    parts_of: impl Fn(&EndedBake) -> Option<[f64; N]>,
) -> BTreeMap<&str, [f64; N]> {
    let mut sums = BTreeMap::new();
    for bake in &report.bakes {
        let Some(parts) = parts_of(bake) else {
            continue;
        };
        let of_formula = sums.entry(bake.formula.as_str()).or_insert([0.0; N]);
        for (sum, part) in of_formula.iter_mut().zip(parts) {
            *sum += part;
        }
    }
    sums
}

/// Bakes by how much grain they got.
fn supplied(says: &str, report: &PeriodReport) -> Markup {
    let ends = [
        (Supply::Full, Fill::Grey),
        (Supply::Less, Fill::Dotted),
        (Supply::BelowMinimum, Fill::Black),
        (Supply::Dropped, Fill::White),
        (Supply::Unknown, Fill::Lying),
    ];
    let one = |bake: &EndedBake| {
        Some(ends.map(|(supply, _)| if bake.supply() == supply { 1.0 } else { 0.0 }))
    };
    let bars: Vec<Bar> = by_formula(report, one)
        .into_iter()
        .map(|(formula, bakes)| Bar {
            label: formula.to_owned(),
            parts: ends.iter().map(|(_, fill)| *fill).zip(bakes).collect(),
            mark: None,
            text: count(bakes.iter().sum::<f64>() as usize, "bake"),
        })
        .collect();
    let key = ends.map(|(supply, fill)| (fill, supply.as_str()));
    chart::bars("Bakes by formula and grain", says, &bars, &key)
}

/// What plans promised, and how much of it was drawn.
fn promised(says: &str, report: &PeriodReport) -> Markup {
    let parts = |bake: &EndedBake| {
        let (promised, kept) = bake.promised?;
        Some([kilograms(kept), kilograms(promised - kept)])
    };
    let bars: Vec<Bar> = by_formula(report, parts)
        .into_iter()
        .filter(|(_, [kept, missed])| kept + missed > 0.0)
        .map(|(formula, [kept, missed])| Bar {
            label: formula.to_owned(),
            parts: vec![(Fill::Grey, kept), (Fill::White, missed)],
            mark: None,
            text: format!("{} drawn", percent(kept / (kept + missed))),
        })
        .collect();
    let key = [
        (Fill::Grey, "drawn as promised"),
        (Fill::White, "promised and not drawn so"),
    ];
    chart::bars(
        "Wet grain promised and drawn, by formula",
        says,
        &bars,
        &key,
    )
}

/// One picture for each source and form: dried grain is no outlier of wet grain.
fn moisture(says: &str, report: &PeriodReport, zone: &Zone) -> Markup {
    let odd: HashSet<LotCode> = report
        .charts
        .iter()
        .flat_map(SourceChart::odd)
        .map(|(lot, ..)| lot)
        .collect();
    let mut groups: BTreeMap<(&str, &str, &str), Vec<Dot>> = BTreeMap::new();
    for came in &report.lots {
        let group = group(&came.lot.source, came.lot.kind, came.lot.form);
        let is_odd = odd.contains(&came.lot.code);
        groups.entry(group).or_default().push(Dot {
            day: came.lot.brewed_on(zone),
            value: came.moisture.value * 100.0,
            half: came.moisture.expanded() * 100.0,
            is_full: came.untested.is_some(),
            name: is_odd.then(|| came.lot.code.to_string()),
        });
    }
    html! {
        @for ((source, kind, form), dots) in &groups {
            @let known = report.charts.iter().find(|known| group(&known.source, known.kind, known.form) == (*source, *kind, *form));
            @let kind = if *kind == Kind::Steeped.as_str() { "steeped " } else { "" };
            @let label = format!("Moisture of {kind}{form} grain of {source} by brew day, in %: dots are tested, rings are not, lines hold 95 %");
            @let finding = known.map_or_else(|| says.to_owned(), source_chart::finding);
            (chart::dots(&label, &finding, dots, "%", known.and_then(source_chart::lines).as_ref(), false))
        }
    }
}

fn group(source: &str, kind: Kind, form: Form) -> (&str, &'static str, &'static str) {
    (source, kind.as_str(), form.as_str())
}

fn water(says: &str, report: &PeriodReport, reader: Reader<'_>) -> Markup {
    let all: Vec<Bar> = report
        .bakes
        .iter()
        .filter_map(|bake| {
            let water = bake.water()?;
            let grams = |milligrams: i64| milligrams as f64 / 1e3;
            Some(Bar {
                label: format!("{}, {}", bake.code, bake.formula),
                parts: vec![
                    (Fill::Grey, grams(water.first)),
                    (Fill::Slanted, grams(water.back)),
                ],
                mark: Some(grams(water.poured)),
                text: format!("{} poured", reader.weighed(water.poured)),
            })
        })
        .collect();
    let last = &all[all.len().saturating_sub(DOUGHS)..];
    let key = [
        (Fill::Grey, "pour first"),
        (Fill::Slanted, "hold back"),
        (Fill::Black, "line: really poured"),
    ];
    chart::bars("Water said and poured", says, last, &key)
}
