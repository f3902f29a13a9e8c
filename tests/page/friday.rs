//! The demo's Friday with one thumb: what came before is played from `demo-data/`, then the day is done on the page.
//! Every touch counts: a link, a field, a box, a button. What is due is reached from Today, as it would be.

use crate::house::{House, Visitor, filled_in, words};
use axum::http::{StatusCode, header};
use std::collections::BTreeSet;
use std::path::Path;

/// A person with one thumb on one page.
struct Thumb<'a> {
    phone: Visitor<'a>,
    address: String,
    page: String,
    fields: Vec<(String, String)>,
    taps: u32,
    typed: Vec<String>,
}

impl<'a> Thumb<'a> {
    fn on(phone: Visitor<'a>) -> Self {
        let page = phone.page("/");
        Self {
            phone,
            address: "/".to_owned(),
            page,
            fields: Vec::new(),
            taps: 0,
            typed: Vec::new(),
        }
    }

    fn opens(&mut self, address: String) {
        self.page = self.phone.page(&address);
        self.fields = if self.page.contains("<form method=\"post\"") {
            filled_in(&self.page)
        } else {
            Vec::new()
        };
        self.address = address;
    }

    /// The page loads itself again, as open pages do when the time goes on.
    fn waits_until(&mut self, now: &str) {
        self.phone.house.at(now);
        let address = self.address.clone();
        self.opens(address);
    }

    /// Follows a link that is on the page.
    #[track_caller]
    fn link(&mut self, address: &str) {
        let marked = address.replace('&', "&amp;");
        assert!(
            self.page.contains(&format!("href=\"{marked}\"")),
            "{address} from {}: {}",
            self.address,
            words(&self.page)
        );
        self.taps += 1;
        self.opens(address.to_owned());
    }

    fn fill(&mut self, field: &str, value: &str) {
        self.taps += 1;
        match self.fields.iter_mut().find(|(known, _)| known == field) {
            Some((_, filled)) => *filled = value.to_owned(),
            None => self.fields.push((field.to_owned(), value.to_owned())),
        }
    }

    /// Taps a field and types a number.
    #[track_caller]
    fn number(&mut self, field: &str, number: &str) {
        assert!(self.page.contains(&format!("name=\"{field}\"")), "{field}");
        self.typed.push(number.to_owned());
        self.fill(field, number);
    }

    /// Unfolds what is folded away under these words.
    #[track_caller]
    fn unfold(&mut self, words: &str) {
        let summary = format!("<summary>{words}</summary>");
        assert!(self.page.contains(&summary), "{words}");
        self.taps += 1;
    }

    /// Ticks a box.
    #[track_caller]
    fn tick(&mut self, field: &str) {
        assert!(self.page.contains(&format!("name=\"{field}\"")), "{field}");
        self.fill(field, "1");
    }

    /// Presses the button of the form; the page after it is opened.
    #[track_caller]
    fn press(&mut self) {
        self.taps += 1;
        let fields: Vec<(&str, &str)> = self
            .fields
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()))
            .collect();
        let answer = self.phone.post(&self.address, &fields);
        assert_eq!(
            answer.status,
            StatusCode::SEE_OTHER,
            "{}",
            words(&answer.body)
        );
        let to = answer.headers[header::LOCATION]
            .to_str()
            .unwrap()
            .to_owned();
        self.opens(to);
    }
}

/// Three weeks at the invented bakery up to Friday morning, and the bakes that are to come.
fn weeks_before(house: &House) {
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    let history = std::fs::read_to_string(data.join("history.txt")).unwrap();
    for line in history.replace("\\\n", " ").lines() {
        if let Some(now) = line.strip_prefix("now ") {
            // The bakery keeps the time of Dublin, which is that of UTC in these weeks.
            house.at(&format!("{}:00Z", now.trim().replace(' ', "T")));
        } else if !line.is_empty() && !line.starts_with('#') && !line.starts_with("new-book") {
            let formulas = format!("{}/formulas/", data.display());
            let pickups = format!(" {}/pickups.csv", data.display());
            house.draff(
                &line
                    .replace("formulas/", &formulas)
                    .replace(" pickups.csv", &pickups),
            );
        }
    }
    house.draff("settings tap 11C");
    house.draff("settings room 21C");
    house.draff("bake add \"Hollow flatbread\" --at 18:20 mix");
    house.draff("bake add \"Quern pan loaf\" --at \"sat 16:00\" ready --pieces 24");
}

#[test]
fn the_demos_friday_takes_under_forty_taps_and_no_number_twice() {
    let house = House::new();
    weeks_before(&house);
    house.at("2026-11-20T11:10:00Z");
    let mut thumb = Thumb::on(house.paired("Nuala"));
    let lot = "COR-261120-15";

    // The tub in, with its first temperature.
    thumb.link("/grain-in");
    thumb.link("/grain-in/from?source=Corrow+Weir");
    thumb.number("mash_out_time", "09:40");
    thumb.number("wet", "18.4");
    thumb.number("temp", "63");
    thumb.tick("same_grist");
    thumb.press();
    assert!(words(&thumb.page).contains(lot), "{}", words(&thumb.page));

    // The second temperature, and two samples into the oven.
    thumb.waits_until("2026-11-20T12:50:00Z");
    thumb.link("/");
    thumb.link(&format!("/lot/{lot}/temperature"));
    thumb.number("temp", "18.5");
    thumb.press();
    thumb.waits_until("2026-11-20T13:00:00Z");
    thumb.link(&format!("/lot/{lot}"));
    thumb.link(&format!("/lot/{lot}/sample"));
    thumb.number("pan_0", "14.2");
    thumb.number("wet_0", "114.5");
    thumb.number("pan_1", "13.8");
    thumb.number("wet_1", "114.1");
    thumb.press();

    // The third temperature; then the samples are dry.
    thumb.waits_until("2026-11-20T16:15:00Z");
    thumb.link("/");
    thumb.link(&format!("/lot/{lot}/temperature"));
    thumb.number("temp", "4.1");
    thumb.press();
    thumb.waits_until("2026-11-20T17:30:00Z");
    thumb.link("/");
    thumb.link(&format!("/lot/{lot}/sample"));
    thumb.number("dry_0", "37.2");
    thumb.number("dry_1", "36.9");
    thumb.tick("twice");
    thumb.press();
    assert_eq!(
        house.json(&format!("moisture {lot}"))["samples"]
            .as_array()
            .unwrap()
            .len(),
        2
    );

    // The dough: its sheet says what to weigh and to pour. Then it is baked: water and dough were
    // measured, the rest is as the sheet says.
    thumb.link("/");
    thumb.link("/bake/B-1S/sheet");
    assert!(
        words(&thumb.page).contains("pour first"),
        "{}",
        words(&thumb.page)
    );
    thumb.waits_until("2026-11-20T18:40:00Z");
    thumb.link("/bake/B-1S/done");
    thumb.number("water", "905");
    thumb.unfold("More");
    thumb.number("dough_temp", "28");
    thumb.press();

    // Tomorrow's plan.
    thumb.link("/plan");
    thumb.press();
    let plan = thumb.address.clone();
    while thumb.page.contains("It is being worked out") {
        std::thread::yield_now();
        thumb.opens(plan.clone());
    }
    thumb.link(&format!("{plan}/accept"));
    thumb.press();
    assert!(words(&thumb.phone.page("/bakes")).contains("Quern pan loaf"));

    let distinct: BTreeSet<&String> = thumb.typed.iter().collect();
    assert_eq!(distinct.len(), thumb.typed.len(), "{:?}", thumb.typed);
    assert!(thumb.taps < 40, "{} taps", thumb.taps);
    let told = format!("{} taps and {} numbers", thumb.taps, thumb.typed.len());
    let page = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/page.md"))
        .unwrap();
    assert!(
        page.contains(&told),
        "docs/page.md says it otherwise than: {told}"
    );
}
