//! `docs/models/keeping.md`: the four rule sets and the worked example.

use super::{hold_part, read, rows, split};
use draffbook::keeping::rules::{BUILT_IN, WarmCount};
use draffbook::keeping::{Event, History, PlaceKind, RuleSet, What, assess};
use draffbook::quantity::temperature::Limit;
use draffbook::quantity::when::moment;
use draffbook::quantity::{Instant, Temperature, Zone};

const PAGE: &str = "models/keeping.md";

fn sets() -> Vec<RuleSet> {
    BUILT_IN
        .iter()
        .map(|(_, text)| RuleSet::from_text(text).unwrap())
        .collect()
}

/// The limit in °C, and the whole °F that is judged as exactly the limit.
fn degrees(limit: Limit) -> String {
    let exactly = (-76..=572).find(|fahrenheit| {
        let reading: Temperature = format!("{fahrenheit}F").parse().unwrap();
        limit.at_or_below(reading) && limit.at_or_above(reading)
    });
    let celsius = limit.in_celsius().degrees_celsius();
    match exactly {
        Some(fahrenheit) => format!("{celsius} °C ({fahrenheit} °F)"),
        None => format!("{celsius} °C"),
    }
    .replace('-', "−")
}

fn hours(duration: chrono::Duration) -> String {
    assert_eq!(duration.num_minutes() % 60, 0, "the page shows whole hours");
    format!("{} h", duration.num_hours())
}

fn or_dash(cell: Option<String>) -> String {
    cell.unwrap_or_else(|| "–".to_owned())
}

/// A row of the table of limits: its name in the file and how a set fills it.
type Row = (&'static str, fn(&RuleSet) -> String);

const LIMITS: [Row; 19] = [
    ("hot.at_least", |set| degrees(set.hot.limit)),
    ("cold.at_most", |set| degrees(set.cold.limit)),
    ("cooling.first_to", |set| degrees(set.cooling.first_to)),
    ("cooling.first_within", |set| {
        hours(set.cooling.first_within)
    }),
    ("cooling.further_within", |set| {
        or_dash(set.cooling.further_within.map(hours))
    }),
    ("cooling.total_within", |set| {
        hours(set.cooling.total_within)
    }),
    ("days.most", |set| set.days.most.to_string()),
    ("days.use_first_from", |set| {
        format!("day {}", set.days.use_first_from)
    }),
    ("days.only_at_or_below", |set| degrees(set.days.only_at)),
    ("warm.count", |set| {
        match set.warm.count {
            WarmCount::Sum => "sum",
            WarmCount::FromFirst => "from-first",
        }
        .to_owned()
    }),
    ("warm.rechill_below", |set| hours(set.warm.rechill_below)),
    ("warm.past_from", |set| hours(set.warm.past_from)),
    ("warm.past_from_allowed", |set| {
        if set.warm.past_from_allowed {
            "yes"
        } else {
            "no"
        }
        .to_owned()
    }),
    ("warm.most_times", |set| {
        or_dash(set.warm.most_times.map(|most| most.to_string()))
    }),
    ("frozen.at_most", |set| degrees(set.frozen.limit)),
    ("frozen.quality_days", |set| {
        format!("{} days", set.frozen.quality_days)
    }),
    ("dried.activity_below", |set| {
        format!("{:.2}", set.dried.activity_below.get())
    }),
    ("dried.activity_aim", |set| {
        format!("{:.2}", set.dried.activity_aim.get())
    }),
    ("dried.moisture_at_most", |set| {
        format!("{:.0} %", set.dried.moisture_at_most.percent())
    }),
];

#[test]
fn the_limits_of_the_four_sets_are_those_of_the_program() {
    let sets = sets();
    let mut table = String::from("| limit |");
    for set in &sets {
        table.push_str(&format!(" {} |", set.name));
    }
    table.push_str(&format!("\n|---|{}\n", "---|".repeat(sets.len())));
    let gap: Row = ("readings.longest_gap", |set| hours(set.longest_gap));
    for (name, cell) in LIMITS.into_iter().chain([gap]) {
        let cells: Vec<String> = sets.iter().map(cell).collect();
        table.push_str(&format!("| `{name}` | {} |\n", cells.join(" | ")));
    }
    hold_part(
        PAGE,
        "<!-- limits:",
        "<!-- end of limits",
        &format!("\n{table}\n"),
    );
}

#[test]
fn the_sources_of_the_four_sets_are_those_of_the_program() {
    let mut table = String::from("| limits | set | source |\n|---|---|---|\n");
    let sources: [Row; 7] = [
        ("hot", |set| set.hot.source.clone()),
        ("cold", |set| set.cold.source.clone()),
        ("cooling", |set| set.cooling.source.clone()),
        ("days", |set| set.days.source.clone()),
        ("warm", |set| set.warm.source.clone()),
        ("frozen", |set| set.frozen.source.clone()),
        ("dried", |set| set.dried.source.clone()),
    ];
    for (name, source) in sources {
        for set in sets() {
            table.push_str(&format!("| {name} | {} | {} |\n", set.name, source(&set)));
        }
    }
    hold_part(
        PAGE,
        "<!-- sources:",
        "<!-- end of sources",
        &format!("\n{table}\n"),
    );
}

/// What one line of the example says happened: `into fridge 4C`, `reading 20C`, `asked`.
fn happened(words: &str) -> Option<What> {
    if let Some(rest) = words.strip_prefix("into ") {
        let (kind, stated) = rest.split_once(' ').unwrap();
        return Some(What::Placed {
            kind: kind.parse::<PlaceKind>().unwrap(),
            stated: stated.parse().unwrap(),
        });
    }
    if let Some(reading) = words.strip_prefix("reading ") {
        return Some(What::Read(reading.parse().unwrap()));
    }
    assert!(words == "asked" || words == "mash-out", "{words}");
    None
}

#[test]
fn the_worked_example_is_what_the_clock_says() {
    let zone = Zone::named("Europe/Dublin").unwrap();
    let rules = RuleSet::from_text(RuleSet::built_in_text("strict").unwrap()).unwrap();
    let time = |typed: &str| -> Instant { moment(typed, Instant::MIN_UTC, &zone).unwrap() };
    let text = read(PAGE);
    let (_, table, _) = split(&text, "<!-- example:", "<!-- end of example");
    let lines = rows(table);
    assert!(lines.len() >= 8, "the example is gone");
    assert_eq!(lines[0][1], "mash-out");
    let mut history = History {
        mash_out: Some(time(&lines[0][0])),
        arrived_dried: false,
        events: Vec::new(),
    };
    let mut expected = String::from(
        "\n| when | what | verdict | day | warm | keep until | limit that binds |\n|---|---|---|---|---|---|---|\n",
    );
    for line in &lines {
        let at = time(&line[0]);
        history
            .events
            .extend(happened(&line[1]).map(|what| Event { at, what }));
        let found = assess(&history, &rules, &zone, at);
        let keep_until = found.keep_until.map_or("–".to_owned(), |until| {
            zone.local(until).format("%Y-%m-%d %H:%M:%S").to_string()
        });
        expected.push_str(&format!(
            "| {} | {} | {} | {} | {} min | {keep_until} | {} |\n",
            line[0],
            line[1],
            found.verdict,
            found.day.unwrap(),
            found.warm_minutes,
            found.binding.limit
        ));
    }
    expected.push('\n');
    hold_part(PAGE, "<!-- example:", "<!-- end of example", &expected);
}
