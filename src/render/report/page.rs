//! A report as a page to show and to print: one question a page, a picture and the numbers below it.

use super::table::{Cell, Reader, Section, Table};
use crate::grain::{Form, Kind, LotCode};
use crate::ledger::MovementKind;
use crate::quantity::text::visible;
use crate::quantity::{Zone, mass};
use crate::render::chart::{self, Bar, Dot, Fill};
use crate::render::{html_page, shelf_html, source_chart};
use crate::report::period::{PeriodReport, SourceBalance};
use crate::report::{Caution, SourceChart};
use maud::{Markup, html};
use std::collections::{BTreeMap, HashSet};

const STYLE: &str = concat!(include_str!("../chart.css"), include_str!("report.css"));

/// Bars of water that are drawn; of more the last ones.
const DOUGHS: usize = 24;

/// The whole page.
pub fn page(report: &PeriodReport, reader: Reader<'_>, cautions: &[Caution]) -> String {
    let title = format!("{}, {}", report.book, super::days_of(report, reader.zone));
    let body = html! {
        header {
            h1 { (super::heading(report, reader)) }
            p { (title) }
        }
        (questions(report, reader))
        footer {
            ul.cautions {
                @for caution in cautions { li { (reader.units.in_words(&caution.text())) } }
            }
        }
    };
    visible(&html_page::whole(&title, STYLE, &body))
}

/// Every question, for whoever has a page of his own.
pub fn questions(report: &PeriodReport, reader: Reader<'_>) -> Markup {
    html! {
        (chart::hatches(["slanted", "lying", "dotted"]))
        @for section in super::sections(report, reader) {
            section.question {
                h2 { (section.title) }
                p.says { (section.says) }
                (pictures(&section, report, reader))
                @for table in &section.tables { (numbers(table, reader)) }
            }
        }
    }
}

fn numbers(table: &Table, reader: Reader<'_>) -> Markup {
    let is_number = |column: &usize| table.rows.iter().any(|row| row[*column].is_number());
    let columns: Vec<(usize, bool)> = table
        .used_columns()
        .into_iter()
        .map(|column| (column, is_number(&column)))
        .collect();
    let unit = reader.unit_of(table);
    html! {
        @if !table.rows.is_empty() {
            // What scrolls is reached by keys too.
            div.wide role="region" tabindex="0" aria-label=(table.title) {
                table {
                    caption { (table.title) }
                    thead { tr { @for (column, right) in &columns { th class=[class(*right, false)] { (table.columns[*column].1) } } } }
                    tbody {
                        @for row in &table.rows {
                            tr {
                                @for (column, right) in &columns {
                                    @let cell = &row[*column];
                                    td class=[class(*right, cell.is_code())] { (reader.cell(cell, unit)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The class of a cell; none of plain words, which most cells hold: an empty one in each of them weighs kilobytes.
const fn class(is_number: bool, is_code: bool) -> Option<&'static str> {
    match (is_number, is_code) {
        (true, true) => Some("number whole"),
        (true, false) => Some("number"),
        (false, true) => Some("whole"),
        (false, false) => None,
    }
}

/// The pictures of a question, known by its first table.
fn pictures(section: &Section, report: &PeriodReport, reader: Reader<'_>) -> Markup {
    match section.tables[0].key {
        "balance" => flow(report, reader),
        "breads" => html! { (breads(report, reader)) (saved(report)) (weekdays(section, reader)) },
        "lots" => moisture(report, reader.zone),
        "water" => water(report, reader),
        "on_hand" => shelf_html::life(&report.on_hand),
        _ => html! {},
    }
}

fn kilograms(wet: i64) -> f64 {
    wet as f64 / 1e6
}

fn flow(report: &PeriodReport, reader: Reader<'_>) -> Markup {
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
    chart::bars("Wet grain in and out, by source", &bars, &key)
}

fn breads(report: &PeriodReport, reader: Reader<'_>) -> Markup {
    let bars: Vec<Bar> = report
        .breads
        .iter()
        .map(|bread| Bar {
            label: bread.name.clone(),
            parts: vec![(Fill::Grey, mass::grams(bread.grain.dry))],
            mark: None,
            text: reader.units.listed(bread.grain.dry),
        })
        .collect();
    chart::bars("Flour saved, by formula", &bars, &[])
}

fn saved(report: &PeriodReport) -> Markup {
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
    chart::dots("Flour saved so far, in kg", &dots, "kg", None, true)
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
    chart::bars("Dry grain into dough, by day of the week", &bars, &[])
}

/// One picture for each source and form: dried grain is no outlier of wet grain.
fn moisture(report: &PeriodReport, zone: &Zone) -> Markup {
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
            (chart::dots(&format!("Moisture of {kind}{form} grain of {source} by brew day, in %: dots are tested, rings are not, lines hold 95 %"), dots, "%", known.and_then(source_chart::lines).as_ref(), false))
        }
    }
}

fn group(source: &str, kind: Kind, form: Form) -> (&str, &'static str, &'static str) {
    (source, kind.as_str(), form.as_str())
}

fn water(report: &PeriodReport, reader: Reader<'_>) -> Markup {
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
    chart::bars("Water said and poured", last, &key)
}
