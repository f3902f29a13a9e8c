//! What an audit found, in words.

use crate::ledger::audit::Audit;
use crate::quantity::text::count;

/// Whole, or every place in which it is damaged. Where the file holds nothing at all, nobody may have made a book yet.
pub fn text(audit: &Audit, holds_nothing: bool) -> String {
    if audit.damage.is_empty() {
        let mut text = format!(
            "The book is whole: {} entries, {} on hand, and the sums agree.\n",
            audit.entries,
            count(audit.on_hand, "lot")
        );
        text.extend(
            audit
                .newest
                .map(|digest| format!("Newest digest: {digest}\n")),
        );
        return text;
    }
    let mut text = format!(
        "The book is damaged in {}:\n",
        count(audit.damage.len(), "place")
    );
    for line in &audit.damage {
        text.push_str(&format!("  {line}\n"));
    }
    text.push_str(if holds_nothing {
        "If a book was here, bring a copy back: draff restore COPY. If none was made yet: draff new-book.\n"
    } else {
        "Keep this file as it is and go on with a copy made while the book was whole.\n"
    });
    text
}
