//! The numbers of the entries that an act wrote: `correct` and `strike` take them.

use super::words::WIDTH;
use crate::ledger::EntryKind;

/// So many groups of entries of one kind fit into a line.
const GROUPS: usize = 3;

/// `Entry 14: number for draff correct or strike.`, or `Entries 5 (pickup), 6 (reading).` where what they are for is left out or
/// has no room in the line; nothing where no entry was written.
pub fn line(entries: &[(i64, EntryKind)], is_brief: bool) -> String {
    let groups: Vec<_> = entries
        .chunk_by(|(_, kind), (_, next)| kind == next)
        .collect();
    let said = match groups.len() {
        0 => return String::new(),
        2..=GROUPS => groups
            .iter()
            .map(|group| format!("{} ({})", numbers(group), called(group[0].1)))
            .collect::<Vec<_>>()
            .join(", "),
        _ => numbers(entries),
    };
    let head = match entries.len() {
        1 => "Entry",
        _ => "Entries",
    };
    let bare = format!("{head} {said}");
    let whole = format!("{bare}. If wrong: draff correct or strike NUMBER");
    let told = if is_brief || whole.len() >= WIDTH {
        bare
    } else {
        whole
    };
    told + ".\n"
}

/// What was written down: a bake is done when its dough is mixed, before anything is baked.
const fn called(kind: EntryKind) -> &'static str {
    match kind {
        EntryKind::Baked => "bake done",
        other => other.as_str(),
    }
}

fn numbers(entries: &[(i64, EntryKind)]) -> String {
    match entries {
        [] => String::new(),
        [(one, _)] => one.to_string(),
        [(one, _), (other, _)] => format!("{one} and {other}"),
        [(first, _), .., (last, _)] => format!("{first} to {last}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use EntryKind::{Baked, Cooled, Part, Pickup, Reading, Use};

    #[test]
    fn each_number_is_said_and_its_kind_where_they_differ() {
        for (entries, said) in [
            (vec![], ""),
            (vec![(14, Use)], "Entry 14.\n"),
            (vec![(5, Part), (6, Part)], "Entries 5 and 6.\n"),
            (vec![(5, Part), (6, Part), (7, Part)], "Entries 5 to 7.\n"),
            (
                vec![(5, Pickup), (6, Reading)],
                "Entries 5 (pickup), 6 (reading).\n",
            ),
            (
                vec![(5, Use), (6, Use), (7, Use), (8, Baked)],
                "Entries 5 to 7 (use), 8 (bake done).\n",
            ),
            (
                vec![(5, Pickup), (6, Reading), (7, Cooled), (8, Pickup)],
                "Entries 5 to 8.\n",
            ),
        ] {
            assert_eq!(line(&entries, true), said);
        }
    }

    #[test]
    fn what_a_number_is_for_is_said_where_it_fits_into_the_line() {
        assert_eq!(line(&[], false), "");
        assert_eq!(
            line(&[(14, Use)], false),
            "Entry 14. If wrong: draff correct or strike NUMBER.\n"
        );
        assert_eq!(
            line(&[(5, Pickup), (6, Reading)], false),
            "Entries 5 (pickup), 6 (reading). If wrong: draff correct or strike NUMBER.\n"
        );
        let three = [(12_345, Pickup), (12_346, Reading), (12_347, Cooled)];
        assert_eq!(
            line(&three, false),
            "Entries 12345 (pickup), 12346 (reading), 12347 (cooled).\n"
        );
    }
}
