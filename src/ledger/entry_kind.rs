//! The kinds of entries: their text in the table, and which of them move grain.

use crate::keeping::names_spoilage;
use crate::quantity::Problem;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use std::str::FromStr;

/// What an entry says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EntryKind {
    /// A lot came in.
    Pickup,
    /// All that is left of a lot went to another place.
    Move,
    /// A part of a lot became a lot of its own.
    Part,
    /// Grain went into a bake.
    Use,
    /// Grain was thrown away.
    Discard,
    /// Grain went to somebody as food.
    Give,
    /// Grain was treated, and what came out is a lot of its own.
    Treat,
    /// All that was left of a lot went into a lot made of several.
    Join,
    /// A lot was weighed.
    Count,
    /// The grain's own temperature.
    Reading,
    /// Somebody's word that the grain was cold.
    Cooled,
    /// A measured water activity.
    Activity,
    /// A moisture test.
    Moisture,
    /// A lot was found spoiled.
    Spoiled,
    /// What a place is.
    Place,
    /// A logger's file.
    Readings,
    /// What a bake is to be.
    Bake,
    /// What a bake came to.
    Baked,
    /// A bake is not baked after all.
    Drop,
    /// A plan was accepted.
    Plan,
    /// A setting of the house.
    Setting,
    /// A source is called otherwise, or is one with another.
    Source,
    /// An earlier entry no longer counts.
    Strike,
}

impl EntryKind {
    /// All of them.
    pub const ALL: [Self; 23] = [
        Self::Pickup,
        Self::Move,
        Self::Part,
        Self::Use,
        Self::Discard,
        Self::Give,
        Self::Treat,
        Self::Join,
        Self::Count,
        Self::Reading,
        Self::Cooled,
        Self::Activity,
        Self::Moisture,
        Self::Spoiled,
        Self::Place,
        Self::Readings,
        Self::Bake,
        Self::Baked,
        Self::Drop,
        Self::Plan,
        Self::Setting,
        Self::Source,
        Self::Strike,
    ];

    /// As it stands in the table and in the log.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Pickup => "pickup",
            Self::Move => "move",
            Self::Part => "part",
            Self::Use => "use",
            Self::Discard => "discard",
            Self::Give => "give",
            Self::Treat => "treat",
            Self::Join => "join",
            Self::Count => "count",
            Self::Reading => "reading",
            Self::Cooled => "cooled",
            Self::Activity => "activity",
            Self::Moisture => "moisture",
            Self::Spoiled => "spoiled",
            Self::Place => "place",
            Self::Readings => "readings",
            Self::Bake => "bake",
            Self::Baked => "baked",
            Self::Drop => "drop",
            Self::Plan => "plan",
            Self::Setting => "setting",
            Self::Source => "source",
            Self::Strike => "strike",
        }
    }

    /// Whether it changes what is left of a lot, or where that is.
    pub const fn moves_grain(self) -> bool {
        self.weighs_out() || matches!(self, Self::Pickup | Self::Move)
    }

    /// Whether grain of the lot was weighed, and may be less from then on.
    pub const fn weighs_out(self) -> bool {
        self.may_leave_book() || matches!(self, Self::Part | Self::Join)
    }

    /// Whether grain may leave the book with it.
    pub const fn may_leave_book(self) -> bool {
        matches!(
            self,
            Self::Use | Self::Discard | Self::Give | Self::Treat | Self::Count
        )
    }

    /// Whether people get the grain as food.
    pub const fn is_eaten(self) -> bool {
        matches!(self, Self::Use | Self::Give)
    }

    /// Whether it makes a lot of another.
    pub const fn makes_lot(self) -> bool {
        matches!(self, Self::Part | Self::Treat | Self::Join)
    }

    /// Whether it says what was found on a lot.
    pub const fn finds(self) -> bool {
        matches!(
            self,
            Self::Reading | Self::Cooled | Self::Activity | Self::Moisture | Self::Spoiled
        )
    }

    /// Whether an entry of this kind with these words finds grain spoiled, itself or by the reason for which some is thrown away.
    pub fn finds_spoilage(self, words: Option<&str>) -> bool {
        match self {
            Self::Spoiled => true,
            Self::Discard => words.is_some_and(names_spoilage),
            _ => false,
        }
    }

    /// Those of which something holds as a list in SQL, in the order of [`Self::ALL`].
    pub(super) fn list(holds: impl Fn(Self) -> bool) -> String {
        let kinds: Vec<String> = Self::ALL
            .into_iter()
            .filter(|kind| holds(*kind))
            .map(|kind| format!("'{}'", kind.as_str()))
            .collect();
        format!("({})", kinds.join(", "))
    }
}

impl FromStr for EntryKind {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        let known = Self::ALL.into_iter().find(|kind| kind.as_str() == text);
        known.ok_or_else(|| {
            let all = Self::ALL.map(Self::as_str).join(", ");
            Problem::new(format!("`{text}` is no kind of entry"))
                .hint(format!("the kinds are {all}"))
        })
    }
}

impl ToSql for EntryKind {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.as_str().into())
    }
}

impl FromSql for EntryKind {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        value
            .as_str()?
            .parse()
            .map_err(|problem: Problem| FromSqlError::Other(Box::new(problem)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_takes_these_kinds_and_no_others() {
        let schema = include_str!("../../migrations/0009_put_right.sql");
        let in_table: Vec<&str> = schema
            .split("WHEN '")
            .skip(1)
            .filter_map(|rest| rest.split('\'').next())
            .collect();
        assert_eq!(in_table.len(), EntryKind::ALL.len());
        for kind in EntryKind::ALL {
            assert!(in_table.contains(&kind.as_str()), "{kind:?}");
        }
    }

    #[test]
    fn what_may_leave_book_is_listed_as_its_index_has_it() {
        let schema = include_str!("../../migrations/0009_put_right.sql");
        let index = format!(
            "CREATE INDEX entry_taken ON entry (at) WHERE kind IN {};",
            EntryKind::list(EntryKind::may_leave_book)
        );
        assert!(schema.contains(&index), "{index}");
    }
}
