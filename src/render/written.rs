//! The numbers of the entries that an act wrote: `correct` and `strike` take them.

use crate::ledger::EntryKind;

/// So many groups of entries of one kind fit into a line.
const GROUPS: usize = 3;

/// `Entry 14.`, or `Entries 5 (pickup), 6 (reading).`; nothing where no entry was written.
pub fn line(entries: &[(i64, EntryKind)]) -> String {
    let groups: Vec<_> = entries
        .chunk_by(|(_, kind), (_, next)| kind == next)
        .collect();
    let said = match groups.len() {
        0 => return String::new(),
        2..=GROUPS => groups
            .iter()
            .map(|group| format!("{} ({})", numbers(group), group[0].1.as_str()))
            .collect::<Vec<_>>()
            .join(", "),
        _ => numbers(entries),
    };
    let head = match entries.len() {
        1 => "Entry",
        _ => "Entries",
    };
    format!("{head} {said}.\n")
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
                "Entries 5 to 7 (use), 8 (baked).\n",
            ),
            (
                vec![(5, Pickup), (6, Reading), (7, Cooled), (8, Pickup)],
                "Entries 5 to 8.\n",
            ),
        ] {
            assert_eq!(line(&entries), said);
        }
    }
}
