//! The grists that lots have: a book has many lots and few grists.

use super::View;
use super::in_force::IN_FORCE;
use super::lots::FACTS;
use crate::grain::cereals::{self, Says};

/// The grist of a lot as it is known by now.
pub(super) const GRIST: &str = "CASE WHEN facts.lot_id IS NULL THEN lot.grist ELSE facts.grist END";

impl View<'_> {
    /// Every grist of lots that came in, as it is known by now.
    pub fn grists(&self) -> anyhow::Result<Vec<String>> {
        let grists = self
            .connection
            .prepare_cached(&format!(
                "SELECT DISTINCT {GRIST} FROM lot {FACTS}
                 WHERE {GRIST} IS NOT NULL
                   AND EXISTS (SELECT 1 FROM entry WHERE lot_id = lot.id AND kind = 'pickup' AND {IN_FORCE})
                 ORDER BY 1"
            ))?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        Ok(grists)
    }

    /// Those of them that name what is asked for, or may hold it, as a JSON array.
    pub(super) fn grists_that_may_hold(&self, asked: &str) -> anyhow::Result<String> {
        let mut grists = self.grists()?;
        grists.retain(|text| cereals::says(text.parse().ok().as_ref(), asked) != Says::Without);
        Ok(serde_json::to_string(&grists)?)
    }
}
