//! Random acts that make lots of others, count them, or strike an entry.

use super::Bakery;
use super::clock::{FREEZER, Judged, PLACES, Told, Verdict};
use super::model::{Done, Entry, Form, Lot};

impl Bakery {
    pub fn treat(&mut self, lot: usize, held: &Lot) {
        if held.left < 1000 {
            return;
        }
        let wet = self.share(lot);
        let (form, out, words) = if self.one_in(2) && held.presses < 5 {
            (Form::Pressed, wet - wet / 20, "press".to_owned())
        } else {
            let water = 1 + wet / 20;
            (
                Form::Blended,
                wet + water,
                format!("blend --water-added {water}mg"),
            )
        };
        let words = format!(
            "treat {} --wet-in {wet}mg --wet-out {out}mg --step {words}",
            held.code
        );
        if let Some(said) = self.expect(wet <= held.left && held.place != FREEZER, &words) {
            let product = self.made(said["lot"].as_str().unwrap().into(), lot);
            self.lots[product].presses += u32::from(form == Form::Pressed);
            self.lots[product].form = form;
            self.note(vec![(
                self.now,
                Done::Treated {
                    from: lot,
                    product,
                    wet,
                    out,
                    to: held.place,
                },
            )]);
        }
    }

    pub fn portion(&mut self, lot: usize, held: &Lot) {
        let (number, to) = (1 + self.below(3), self.place());
        let wet = (held.left * (1 + self.below(400)) / 1000).max(1);
        let words = format!(
            "portion {} --into {number}x{wet}mg --to {}",
            held.code, PLACES[to].0
        );
        if let Some(said) = self.expect(held.left > 0 && number * wet <= held.left, &words) {
            let mut done = Vec::new();
            for portion in said["lots"].as_array().unwrap() {
                let part = self.made(portion["lot"].as_str().unwrap().into(), lot);
                done.push((
                    self.now,
                    Done::Parted {
                        from: lot,
                        part,
                        wet,
                        to,
                    },
                ));
            }
            self.note(done);
        }
    }

    pub fn join(&mut self, lot: usize, held: &Lot) {
        let Some(other) = self.pick() else { return };
        let (also, to) = (self.lots[other].clone(), self.place());
        let usable = |lot: &Lot, judged: &dyn Fn() -> Judged| {
            lot.left > 0 && judged().verdict < Verdict::Unknown
        };
        let allowed = lot != other
            && held.form == also.form
            && usable(held, &|| self.judged(lot, self.now))
            && usable(&also, &|| self.judged(other, self.now));
        let words = format!("join {} {} --to {}", held.code, also.code, PLACES[to].0);
        if let Some(said) = self.expect(allowed, &words) {
            let into = self.made(said["lot"].as_str().unwrap().into(), lot);
            self.lots[into].presses = held.presses.max(also.presses);
            let parts = [(lot, held.left), (other, also.left)];
            self.note(vec![(self.now, Done::Joined { parts, into, to })]);
        }
    }

    pub fn count(&mut self, lot: usize, held: &Lot) {
        let found = (held.left * (900 + self.below(112)) / 1000).max(1);
        let less = held.left - found;
        let (mut came, mut more) = (0, 0);
        for entry in self.entries.iter().filter(|entry| !entry.struck) {
            match &entry.done {
                Done::Came { lot: of, wet, .. } if *of == lot => came += wet,
                Done::Parted { part, wet, .. } if *part == lot => came += wet,
                Done::Treated { product, out, .. } if *product == lot => came += out,
                Done::Joined { parts, into, .. } if *into == lot => came += parts[0].1 + parts[1].1,
                Done::Counted { lot: of, less } if *of == lot => more -= less.min(&0),
                _ => {}
            }
        }
        let allowed = held.left > 0 && (less >= 0 || more - less <= came / 50);
        if self
            .expect(allowed, &format!("count {} --wet {found}mg", held.code))
            .is_some()
        {
            self.note(vec![(self.now, Done::Counted { lot, less })]);
        }
    }

    /// Strikes one of the newest entries.
    pub fn strike(&mut self) {
        let newest = self.entries.len().min(60) as i64;
        if newest == 0 {
            return;
        }
        let chosen = self.entries.len() - 1 - self.below(newest) as usize;
        let Entry {
            number,
            done,
            struck,
            ..
        } = &self.entries[chosen];
        let (number, struck) = (*number, *struck);
        let stood_on = |made: usize, counts: &dyn Fn(&Done) -> bool| {
            let stands = |entry: &Entry| {
                !entry.struck && counts(&entry.done) && entry.done.of().contains(&made)
            };
            self.entries.iter().any(stands)
        };
        let allowed = match done {
            Done::Came { lot, .. } => !stood_on(*lot, &|done| {
                !matches!(
                    done,
                    Done::Tested { .. }
                        | Done::Told {
                            told: Told::Read(_) | Told::Cooled,
                            ..
                        }
                )
            }),
            Done::Parted { part: made, .. }
            | Done::Treated { product: made, .. }
            | Done::Joined { into: made, .. } => !stood_on(*made, &|_| true),
            // What a count found too much may have been taken since.
            Done::Counted { lot, less } => self.lots[*lot].left + less >= 0,
            _ => true,
        };
        let allowed = allowed && !struck;
        if self
            .expect(allowed, &format!("strike {number} --reason wrong"))
            .is_some()
        {
            self.entries[chosen].struck = true;
            self.last_entry = self.newest(1).last().unwrap().0;
            self.fold();
        }
    }
}
