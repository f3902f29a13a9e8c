//! Why a bake lacks grain or is not baked, in words.

use super::Words;
use crate::dough::formula::Colour;
use crate::planning::plan::PlannedBake;
use crate::planning::reason::Reason;

impl Words<'_> {
    /// Why a bake lacks grain or is not baked; briefly only what asks for an act or warns of the freezer.
    pub fn why_of(&self, planned: &PlannedBake) -> Option<String> {
        let reason = planned.reason.as_ref()?;
        let is_kept = matches!(reason, Reason::TooWet | Reason::NotThawed(_));
        (is_kept || !self.is_brief()).then(|| self.reason(reason))
    }

    fn reason(&self, reason: &Reason) -> String {
        match reason {
            Reason::NothingInDate => "no lot is in date then".to_owned(),
            Reason::OtherColours(colours) => other_colours(colours),
            Reason::OtherForms(forms) => {
                let names: Vec<&str> = forms.iter().map(|form| form.as_str()).collect();
                format!("only {} grain is in date then", names.join(" and "))
            }
            Reason::NamedLots => {
                "the lots named for it are used up, past by then, or frozen and not thawed in time"
                    .to_owned()
            }
            Reason::MayHold(cereals) => {
                format!("what is in date then may hold {}", cereals.join(" or "))
            }
            Reason::TooLittle {
                all,
                others,
                is_gone,
            } => {
                let (all, bakes) = (self.dry(*all), self.bake_codes(others));
                match (others.is_empty(), *is_gone) {
                    (true, _) => format!("all grain that fits comes to {all} dry"),
                    (false, true) => {
                        format!("no grain left: what fits, {all} dry in all, goes into {bakes}")
                    }
                    (false, false) => format!(
                        "all grain that fits comes to {all} dry, and part of it goes into {bakes}"
                    ),
                }
            }
            Reason::TooWet => {
                "what fits is so wet that the dough takes no more of it: press or dry it".to_owned()
            }
            Reason::TooFewLots(1) => "the one lot it may be made of holds less".to_owned(),
            Reason::TooFewLots(most) => format!("the {most} lots it may be made of hold less"),
            Reason::OtherBakes(others) => {
                format!("what fits goes into {}", self.bake_codes(others))
            }
            Reason::FreezersFull => {
                "what fits would have to be frozen until then: the freezers are full".to_owned()
            }
            Reason::DryerFull => {
                "what fits would have to be dried: the dryer has no time for it".to_owned()
            }
            Reason::NotThawed(thawed) => format!(
                "not taken out of the freezer in time: if you take it out now, it will be thawed at {}, too late for this bake",
                self.when(*thawed)
            ),
            Reason::NoFridge => {
                "what fits would have to be thawed: no fridge is cold enough for it".to_owned()
            }
            Reason::Handling => "what is left that fits is too little to weigh out".to_owned(),
        }
    }

    fn bake_codes(&self, bakes: &[usize]) -> String {
        let codes: Vec<&str> = bakes.iter().map(|bake| self.bake(*bake)).collect();
        codes.join(", ")
    }
}

/// Of which colours the lots are that are in date: `only pale lots, and some whose grist is not known, are in date then`.
fn other_colours(colours: &[Option<Colour>]) -> String {
    let names: Vec<&str> = colours.iter().flatten().map(|one| one.as_str()).collect();
    match (names.is_empty(), colours.contains(&None)) {
        (true, _) => "of the lots in date then no grist tells the colour".to_owned(),
        (false, true) => format!(
            "only {} lots, and some whose grist is not known, are in date then",
            names.join(" and ")
        ),
        (false, false) => format!("only {} lots are in date then", names.join(" and ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_that_nobody_told_are_called_so() {
        let dark = Some(Colour::Dark);
        assert_eq!(other_colours(&[dark]), "only dark lots are in date then");
        assert!(other_colours(&[None]).contains("no grist tells"));
        assert!(other_colours(&[None, dark]).contains("whose grist is not known"));
    }
}
