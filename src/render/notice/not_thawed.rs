//! What is told of a done bake that took grain which was frozen by the book.

use crate::grain::LotCode;
use crate::render::place;

pub(super) fn words(lot: LotCode, fridge: Option<&str>, strike_first: Option<i64>) -> String {
    let out = format!("`{}`", place::was_moved(lot, fridge));
    let how = match strike_first {
        Some(entry) => format!(
            "`draff strike {entry} --reason TEXT`, then {out}, then write the bake down again"
        ),
        None => out,
    };
    format!(
        "by the book lot `{lot}` was still in the freezer when this dough took it. If it was taken out before, say when: {how}. If it went in frozen, leave it"
    )
}
