//! What is left of each lot keeps or spoils as the plan says.

use super::*;

impl Walk<'_> {
    pub(super) fn rests(&mut self) {
        let plan = self.plan;
        for left in &plan.left {
            let situation = self.situation;
            let lot = &situation.lots[left.lot];
            let (rules, zone) = (&situation.rules, &situation.zone);
            // A block that comes out of the freezer for a bake is thawed as a whole.
            let is_block = lot.place_kind == PlaceKind::Freezer && !lot.form.is_dry();
            let mine = plan.actions.iter().filter(|action| action.lot == left.lot);
            let thawed = mine.filter(|action| is_block && action.work == Work::Thaw);
            let outs: Vec<Instant> = thawed.map(|action| action.by).collect();
            if outs.iter().any(|out| *out != outs[0]) {
                self.say(format!("{}: its block is taken out twice", lot.code));
            }
            let in_fridge = |history: &History| match outs.first() {
                Some(out) => history.then(
                    *out,
                    What::Placed {
                        kind: PlaceKind::Fridge,
                        stated: situation.capacity.fridge_at,
                    },
                ),
                None => history.clone(),
            };
            let histories: Vec<History> = lot.histories.iter().map(in_fridge).collect();
            let end = assess_all(&histories, rules, zone, situation.end).verdict;
            match left.fate {
                Fate::Spoils if end.may_be_used() => {
                    self.say(format!("{} does not spoil", lot.code));
                }
                Fate::Keeps if !end.may_be_used() => {
                    self.say(format!("{} does not keep", lot.code));
                }
                _ => {}
            }
        }
    }
}
