//! Labels of tubs.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk};
use crate::grain::cereals::{Says, WITH_GLUTEN};
use crate::keeping::Verdict;
use crate::quantity::Instant;
use crate::report::LotFacts;
use crate::report::ticket::{self, Ticket};
use chrono::Duration;

impl Desk {
    /// The labels of some lots on hand, in that order.
    pub fn tickets(&self, codes: &[String]) -> anyhow::Result<Answer<Vec<Ticket>>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let as_of = self.as_of()?;
        let mut finder = FactFinder::new(view)?;
        let mut tickets = Vec::new();
        for code in codes {
            let lot = view.lot(code)?;
            // A ticket hangs on a tub, and an empty lot has none.
            view.left_or_refuse(&lot)?;
            let facts = finder.facts(lot)?;
            let says = |wanted| {
                let lot = &facts.lot;
                let found = WITH_GLUTEN
                    .into_iter()
                    .filter(move |cereal| lot.says(cereal) == wanted);
                found.collect()
            };
            let (cereals, perhaps) = (says(Says::Names), says(Says::MayHold));
            let use_first_from = self.use_first_from(&facts, as_of);
            tickets.push(Ticket {
                lot: self.shown(facts, as_of)?,
                use_first_from,
                cereals,
                perhaps,
            });
        }
        let cautions = ticket::cautions(&tickets);
        Ok(Answer::new(tickets, cautions))
    }

    /// From when on a lot goes first: its verdict at the begin of each day that it still keeps.
    fn use_first_from(&self, facts: &LotFacts, as_of: Instant) -> Option<Instant> {
        let about = self.about();
        let at = |moment| facts.keeping(&about.rules, &about.zone, moment);
        let now = at(as_of);
        if now.verdict == Verdict::UseFirst {
            return Some(as_of);
        }
        let until = now.keep_until.filter(|_| now.verdict == Verdict::Good)?;
        let mut day = about.zone.date(as_of);
        loop {
            let begin = about.zone.end_of_day(day);
            if begin > until + Duration::seconds(1) {
                return None;
            }
            if at(begin).verdict == Verdict::UseFirst {
                return Some(begin);
            }
            day = day.succ_opt()?;
        }
    }
}
