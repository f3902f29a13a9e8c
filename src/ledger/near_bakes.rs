//! Bakes that a mistyped code may mean.

use super::in_force::IN_FORCE;
use super::{BookRefusal, View};
use crate::dough::bake_code::BakeCode;
use crate::quantity::Problem;

impl View<'_> {
    /// Refuses a code with the nearest of the book: up to three that differ in one character.
    pub(super) fn not_a_bake(&self, problem: Problem, typed: &str) -> anyhow::Result<BookRefusal> {
        let typed = typed.trim().to_ascii_uppercase();
        let typed = format!("B-{}", typed.trim_start_matches(['B', '-']));
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT DISTINCT bake_id FROM entry WHERE bake_id IS NOT NULL AND kind = 'bake' AND {IN_FORCE} ORDER BY bake_id DESC"
        ))?;
        let mut rows = statement.query([])?;
        let mut nearest: Vec<BakeCode> = Vec::new();
        while let Some(row) = rows.next()?
            && nearest.len() < 3
        {
            let code = BakeCode::new(row.get(0)?);
            if strsim::damerau_levenshtein(&code.to_string(), &typed) == 1 {
                nearest.push(code);
            }
        }
        Ok(BookRefusal::NotABake { problem, nearest })
    }
}
