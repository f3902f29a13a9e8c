//! Random acts on lots as they stand: coming in, moving, being measured, used and thrown away.

use super::clock::{FREEZER, FRIDGE, Minute, PLACES, Told, Verdict};
use super::model::{Done, Form, Lot};
use super::{Bakery, written};

impl Bakery {
    /// Does one random act in the book and in the model; both take it, or both refuse it.
    pub fn act(&mut self) {
        // Days with their nights: mostly minutes pass, sometimes hours.
        self.now += match self.below(14) {
            0 => 240 + self.below(600),
            1..4 => 60 + self.below(90),
            _ => 1 + self.below(30),
        };
        let chosen = self.below(40);
        if chosen < 7 || self.lots.is_empty() {
            return self.pickup();
        }
        if chosen == 7 {
            return self.logger();
        }
        if chosen < 11 {
            return self.strike();
        }
        let Some(lot) = self.pick() else { return };
        let held = self.lots[lot].clone();
        match chosen {
            11..16 => self.move_lot(lot, &held),
            16..21 => self.use_or_discard(lot, &held),
            21..26 => self.probe(lot, &held),
            26..30 => self.treat(lot, &held),
            30..32 => self.portion(lot, &held),
            32..36 => self.join(lot, &held),
            36..38 => self.count(lot, &held),
            38 if held.left > 0 => {
                let percent = 74 + self.below(6);
                self.expect(true, &format!("moisture {} --lab {percent}%", held.code));
                self.note(vec![(self.now, Done::Tested { lot })]);
            }
            _ => self.throw_away(),
        }
    }

    /// Grain whose cooling is told, measured or, rarely, neither.
    pub fn pickup(&mut self) {
        let wet = (1 + self.below(60_000)) * 1000;
        let mash_out = self.now - 370 - self.below(900);
        let lot = self.lots.len();
        let place = if self.one_in(6) { self.place() } else { FRIDGE };
        let mut collected = self.now;
        let mut known = Some(mash_out);
        let mut words = String::new();
        let mut also = Vec::new();
        let mut cold = None;
        match self.below(12) {
            0 => known = None,
            1 => {}
            2..5 => {
                // Fetched warm and measured twice.
                collected = mash_out + 60 + self.below(59);
                words = " --temp 18C".into();
                also.push((
                    collected,
                    Done::Told {
                        lot,
                        told: Told::Read(18_000),
                    },
                ));
                cold = Some(collected + 60 + self.below(180));
            }
            found => {
                let said = mash_out + 30 + self.below(320);
                words = format!(" --cooled {}", written(said));
                also.push((
                    said,
                    Done::Told {
                        lot,
                        told: Told::Cooled,
                    },
                ));
                if found == 5 {
                    let milli = [3_000, 4_500, 9_000][self.below(3) as usize];
                    words += &format!(" --temp {}C", f64::from(milli) / 1000.0);
                    also.push((
                        collected,
                        Done::Told {
                            lot,
                            told: Told::Read(milli),
                        },
                    ));
                }
            }
        }
        if known.is_some() {
            words += &format!(" --mash-out {}", written(mash_out));
        }
        // The brew day is that of the mash-out in Dublin, or the day before it.
        let brewed = written(mash_out)[..10].to_owned();
        let said = self.expect(
            true,
            &format!(
                "pickup --source 'Alder Lane' --brewed {brewed} --collected {} --wet {wet}mg --place {}{words}",
                written(collected),
                PLACES[place].0
            ),
        );
        let code = said.unwrap()["lot"].as_str().unwrap().to_owned();
        let pasts = Vec::new();
        self.lots.push(Lot {
            code,
            form: Form::Whole,
            presses: 0,
            left: 0,
            place,
            pasts,
        });
        let mut done = vec![(
            collected,
            Done::Came {
                lot,
                wet,
                place,
                mash_out: known,
            },
        )];
        done.extend(also);
        self.note(done);
        if let Some(at) = cold {
            let words = format!("probe {} 4C --at {}", self.lots[lot].code, written(at));
            self.expect(true, &words);
            self.note(vec![(
                at,
                Done::Told {
                    lot,
                    told: Told::Read(4_000),
                },
            )]);
        }
    }

    /// A logger's hours of the fridge since the last file; sometimes one file is missing.
    pub fn logger(&mut self) {
        let hour = |minute: Minute| minute.div_euclid(60) * 60;
        let last = self.air.last().map(|(last, _)| *last);
        let is_missing = self.one_in(12);
        let begins = last
            .filter(|_| !is_missing)
            .map_or(hour(self.now - 300), |last| last + 60);
        let from = last.map_or(begins, |last| begins.max(last + 60));
        let readings: Vec<(Minute, i32)> = (from..=self.now)
            .step_by(60)
            .map(|at| {
                let milli = match self.dice.below(90) {
                    0 => 7_000,
                    odd if odd % 2 == 1 => 3_500,
                    _ => 4_000,
                };
                (at, milli)
            })
            .collect();
        if readings.is_empty() {
            return;
        }
        let rows: Vec<String> = readings
            .iter()
            .map(|(at, milli)| format!("{},{}", written(*at), f64::from(*milli) / 1000.0))
            .collect();
        let file = self.folder.path().join("fridge.csv");
        std::fs::write(&file, format!("time,temp_c\n{}\n", rows.join("\n"))).unwrap();
        let allowed = self.may_be_written(Done::Logged {
            readings: readings.clone(),
        });
        let said = self.expect(
            allowed,
            &format!("readings fridge --csv {}", file.display()),
        );
        if said.is_some() {
            self.note(vec![(self.now, Done::Logged { readings })]);
        }
    }

    pub fn move_lot(&mut self, lot: usize, held: &Lot) {
        let to = self.place();
        if self.one_in(2) {
            let allowed = held.left > 0 && held.place != to;
            if self
                .expect(
                    allowed,
                    &format!("move {} --to {}", held.code, PLACES[to].0),
                )
                .is_some()
            {
                self.note(vec![(self.now, Done::Moved { lot, to })]);
            }
            return;
        }
        let wet = self.share(lot);
        // All that is left is no part: the lot itself moves.
        let all = wet == held.left;
        let allowed = wet <= held.left && (!all || held.place != to);
        let words = format!("move {} --wet {wet}mg --to {}", held.code, PLACES[to].0);
        if let Some(said) = self.expect(allowed, &words) {
            if all {
                return self.note(vec![(self.now, Done::Moved { lot, to })]);
            }
            let part = self.made(said["lot"].as_str().unwrap().into(), lot);
            self.note(vec![(
                self.now,
                Done::Parted {
                    from: lot,
                    part,
                    wet,
                    to,
                },
            )]);
        }
    }

    pub fn use_or_discard(&mut self, lot: usize, held: &Lot) {
        let wet = self.share(lot);
        let usable = held.left > 0 && self.judged(lot, self.now).verdict < Verdict::Unknown;
        let eaten = !self.one_in(3);
        let (allowed, words) = if !eaten {
            (
                true,
                format!("discard {} --wet {wet}mg --reason dropped", held.code),
            )
        } else {
            (
                usable,
                format!("use {} --wet {wet}mg --for bread", held.code),
            )
        };
        if self.expect(allowed && wet <= held.left, &words).is_some() {
            self.note(vec![(self.now, Done::Gone { lot, wet, eaten })]);
        }
    }

    /// What cannot be used is thrown away sooner or later.
    pub fn throw_away(&mut self) {
        for lot in self.pasts().into_iter().take(6) {
            let Lot {
                code, left: wet, ..
            } = self.lots[lot].clone();
            self.expect(true, &format!("discard {code} --reason past"));
            let eaten = false;
            self.note(vec![(self.now, Done::Gone { lot, wet, eaten })]);
        }
    }

    pub fn probe(&mut self, lot: usize, held: &Lot) {
        if held.left == 0 {
            return;
        }
        let (told, words) = match (held.place, self.below(24)) {
            (_, 0) => (Told::Spoiled, "--spoiled 'sour smell'".to_owned()),
            (_, 1) => (Told::Read(12_000), "12C".to_owned()),
            (FREEZER, chosen) if chosen < 16 => (Told::Read(-17_000), "-17C".to_owned()),
            (_, chosen) => {
                let milli = 1_500 + chosen as i32 * 150;
                (Told::Read(milli), format!("{}C", f64::from(milli) / 1000.0))
            }
        };
        let allowed = self.may_be_written(Done::Told { lot, told });
        if self
            .expect(allowed, &format!("probe {} {words}", held.code))
            .is_some()
        {
            self.note(vec![(self.now, Done::Told { lot, told })]);
        }
    }
}
