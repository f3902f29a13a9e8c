//! What is known of a lot's moisture.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, plan_facts};
use crate::planning::windows::Windows;
use crate::quantity::Milligrams;
use crate::report::Caution;
use crate::report::moisture::{MoistureAnswer, MoistureWhy};

impl Desk {
    /// The same, with what each part of what is known does to it and what one more test would be worth for the bake that
    /// takes it next.
    pub fn moisture_with_why(&self, lot: &str) -> anyhow::Result<Answer<MoistureAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let mut answer = self.moisture(lot)?;
        let facts = FactFinder::new(view)?.facts(view.lot(lot)?)?;
        let chart = facts.moisture.source_chart(&facts.lot, self.zone())?;
        let ground = plan_facts::find(view, self.as_of()?, plan_facts::USUAL)?;
        let has_bakes = !ground.bakes.is_empty() || ground.later > 0;
        let code = facts.lot.code;
        let on_hand = ground.lots.iter().position(|lot| lot.code == code);
        let next = on_hand.and_then(|lot| ground.next_bake(&Windows::of(&ground.situation), lot));
        let estimate = &answer.answer.estimate;
        answer.answer.why = Some(MoistureWhy::of(estimate, (next, has_bakes), chart));
        Ok(answer)
    }

    /// The moisture in force of the lot with this code, where it comes from, and its tests.
    pub fn moisture(&self, lot: &str) -> anyhow::Result<Answer<MoistureAnswer>> {
        let view = self.view();
        let facts = FactFinder::new(view)?.facts(view.lot(lot)?)?;
        let mut answer = MoistureAnswer::of(&facts)?;
        let rules = &view.about().rules;
        let is_on_hand = facts.wet > Milligrams::ZERO;
        let may_scald = is_on_hand && facts.may_scald(rules, self.now);
        if is_on_hand {
            let lot = self.shown(facts, self.as_of()?)?;
            answer.unusable = (!lot.keeping.verdict.may_be_used()).then_some(lot);
        } else {
            answer.joined_into = view.joined_into(&facts.lot)?.map(|lot| lot.code);
        }
        // What is to be known before the first sample goes in.
        let is_tested = answer.tests.iter().any(|test| test.result.is_usable());
        let mut cautions = if is_tested || !is_on_hand || answer.is_past() {
            Vec::new()
        } else {
            vec![
                Caution::DryingASample,
                Caution::DryingInMicrowave,
                Caution::DryingInOven,
                Caution::DryingInAirFryer,
            ]
        };
        if may_scald {
            cautions.insert(0, Caution::HotGrain);
        }
        Ok(Answer::new(answer, cautions))
    }
}
