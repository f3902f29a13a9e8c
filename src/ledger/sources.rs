//! Sources: breweries and the own brewhouse. One is made the first time it is named, and can be called otherwise or
//! joined with another later; the letters in codes stay.

use super::in_force::IN_FORCE;
use super::lots::{COLUMNS, FACTS, read_lot};
use super::{Act, BookRefusal, LotRecord, View};
use crate::grain::lot_code;
use crate::quantity::{near_name, text};
use rusqlite::params;
use std::collections::BTreeMap;

/// A source as the book knows it.
#[derive(Debug, Clone)]
pub(super) struct Source {
    pub id: i64,
    /// The source whose name was given, which is one with it: they may be told apart again.
    pub named: i64,
    pub name: String,
    pub letters: String,
}

/// A source as it is known by now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceRecord {
    pub(super) id: i64,
    /// The source that it is one with, itself where with none.
    pub(super) same_as: i64,
    /// How it is called.
    pub name: String,
    /// How it was called when it was first named.
    pub first_name: String,
    /// The letters in the codes of its lots.
    pub letters: String,
    /// Every name that it was given since, the oldest first.
    pub(super) renamed: Vec<String>,
}

impl SourceRecord {
    /// Whether it is one with another source.
    pub fn is_joined(&self) -> bool {
        self.same_as != self.id
    }

    /// The names that are or were its own, the one by which it is called now first.
    fn names(&self) -> impl Iterator<Item = &String> {
        let own = std::iter::once(&self.first_name).chain(&self.renamed);
        std::iter::once(&self.name).chain(own)
    }

    /// Whether a name is or was its own, whatever it is one with by now.
    fn had(&self, name: &str) -> bool {
        let mut own = self.names().skip(1);
        own.any(|one| text::is_same_name(one, name))
    }

    fn is_called(&self, name: &str) -> bool {
        self.names().any(|one| text::is_same_name(one, name))
    }
}

/// What an entry says of a source.
#[derive(Debug, Clone)]
pub struct SourceChange {
    /// How it was first called.
    pub source: String,
    /// How it is called from then on.
    pub name: Option<String>,
    /// The source that it is one with, as that was first called.
    pub into: Option<String>,
}

/// Of the sources that are called so, the ones that each is one with.
fn called(all: &[SourceRecord], name: &str) -> Vec<i64> {
    let so_called = all.iter().filter(|source| source.is_called(name));
    so_called.map(|source| source.same_as).collect()
}

/// The source that is meant by a name, and the one that it is one with: what is called so now goes before what was, and
/// what is written so goes before what is only alike.
fn meant<'a>(all: &'a [SourceRecord], name: &str) -> Option<(&'a SourceRecord, &'a SourceRecord)> {
    let now = text::find_named(all, |source| &source.name, name);
    let called = now.or_else(|| all.iter().find(|source| source.is_called(name)))?;
    let root = all.iter().find(|source| source.id == called.same_as)?;
    let mut of_root = all.iter().filter(|source| source.same_as == root.id);
    let named = if root.had(name) {
        root
    } else {
        of_root.find(|source| source.had(name)).unwrap_or(root)
    };
    Some((named, root))
}

impl View<'_> {
    /// Every source as it is known by now, in the order in which they were first named.
    pub fn sources(&self) -> anyhow::Result<Vec<SourceRecord>> {
        let mut renamed: BTreeMap<i64, Vec<String>> = BTreeMap::new();
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT source_id, source_change.name FROM entry JOIN source_change ON source_change.entry_id = entry.id
             WHERE source_change.name IS NOT NULL AND {IN_FORCE} ORDER BY entry.id"
        ))?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            renamed.entry(row.get(0)?).or_default().push(row.get(1)?);
        }
        let found = self
            .connection
            .prepare_cached(
                "SELECT source.id, coalesce(is_one.same_as, source.id), coalesce(is_one.name, source.name),
                        source.name, source.letters
                 FROM source LEFT JOIN source_now AS is_one ON is_one.source_id = source.id ORDER BY source.id",
            )?
            .query_map([], |row| {
                let id = row.get(0)?;
                Ok(SourceRecord {
                    id,
                    same_as: row.get(1)?,
                    name: row.get(2)?,
                    first_name: row.get(3)?,
                    letters: row.get(4)?,
                    renamed: renamed.remove(&id).unwrap_or_default(),
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(found)
    }

    /// How a source was called when it was first named.
    pub(super) fn first_name(&self, id: i64) -> rusqlite::Result<String> {
        self.connection
            .prepare_cached("SELECT name FROM source WHERE id = ?1")?
            .query_row(params![id], |row| row.get(0))
    }

    /// How a source is called by now.
    pub(super) fn source_name(&self, id: i64) -> rusqlite::Result<String> {
        self.connection
            .prepare_cached(
                "SELECT coalesce(is_one.name, source.name) FROM source
                 LEFT JOIN source_now AS is_one ON is_one.source_id = source.id WHERE source.id = ?1",
            )?
            .query_row(params![id], |row| row.get(0))
    }

    /// Every source that is called so, or was, but for case, width and the way of writing, and all that are one with
    /// it. Refuses a name that the book has never met.
    pub(super) fn sources_called(&self, name: &str) -> anyhow::Result<Vec<SourceRecord>> {
        let all = self.sources()?;
        let called = called(&all, name);
        if called.is_empty() {
            let mut known: Vec<String> = all.into_iter().map(|source| source.name).collect();
            known.sort();
            known.dedup();
            return Err(BookRefusal::NoSource {
                name: name.to_owned(),
                known,
            }
            .into());
        }
        Ok(of_these(all, &called))
    }

    /// Sources that are not called so and whose name, by now or before, is so near to this one that they may be meant.
    fn sources_near(&self, name: &str) -> anyhow::Result<Vec<SourceRecord>> {
        let all = self.sources()?;
        let called = called(&all, name);
        Ok(near_to(all, &called, &[name.to_owned()]))
    }

    /// Sources that may be meant by this one too, with all names that it has or had, or that one has which it is one
    /// with: a name that is near to any of them may be a slip of it, whichever of them is asked for.
    fn sources_near_any(&self, name: &str) -> anyhow::Result<(Vec<SourceRecord>, Vec<String>)> {
        let all = self.sources()?;
        let called = called(&all, name);
        let own = all
            .iter()
            .filter(|source| called.contains(&source.same_as))
            .flat_map(SourceRecord::names);
        let names: Vec<String> = own.cloned().chain([name.to_owned()]).collect();
        Ok((near_to(all, &called, &names), names))
    }

    /// The source that is meant by a name, or the one that it is one with.
    pub(super) fn source_meant(&self, name: &str) -> anyhow::Result<i64> {
        let called = self.sources_called(name)?;
        Ok(meant(&called, name).map_or(called[0].same_as, |(_, root)| root.id))
    }

    /// Names of sources that may be meant by this one too: of each the one by which it is called, where that is near.
    pub fn names_near(&self, name: &str) -> anyhow::Result<Vec<String>> {
        let (near, names) = self.sources_near_any(name)?;
        Ok(near_names(&near, &names))
    }

    /// Refuses a name that is near to that of another source. One that is to be called so, with how it was named, is not
    /// another, and a name that it had is its own. To it a name that another had is refused as well.
    pub(super) fn refuse_near_source(
        &self,
        name: &str,
        renamed: Option<(i64, &str)>,
    ) -> anyhow::Result<()> {
        let mut near = self.sources_near(name)?;
        if let Some((own, source)) = renamed {
            let all = self.sources()?;
            if called(&all, name).contains(&own) {
                return Ok(());
            }
            if let Some((_, had)) = meant(&all, name) {
                return Err(BookRefusal::EarlierName {
                    name: name.to_owned(),
                    now: had.name.clone(),
                    renamed: Some(source.to_owned()),
                }
                .into());
            }
            near.retain(|source| source.same_as != own);
        }
        if near.is_empty() {
            return Ok(());
        }
        Err(BookRefusal::NearSource {
            name: name.to_owned(),
            near: near_names(&near, &[name.to_owned()]),
            renamed: renamed.map(|(_, source)| source.to_owned()),
        }
        .into())
    }

    /// The numbers of sources as SQLite's JSON functions read them, or nothing where no source is asked for.
    pub(super) fn source_list(&self, name: Option<&str>) -> anyhow::Result<Option<String>> {
        name.map(|name| Ok(list(&self.sources_called(name)?)))
            .transpose()
    }

    /// The same, with the sources whose names are near: nobody knows whether they are another.
    pub(super) fn source_list_with_near(
        &self,
        name: Option<&str>,
    ) -> anyhow::Result<Option<String>> {
        let Some(name) = name else { return Ok(None) };
        let mut all = self.sources_called(name)?;
        all.extend(self.sources_near_any(name)?.0);
        Ok(Some(list(&all)))
    }

    /// Refuses the name of a source that the book has never met.
    pub fn refuse_unknown_source(&self, name: &str) -> anyhow::Result<()> {
        self.sources_called(name).map(drop)
    }

    /// The lot that came in last, from one source or from any; nothing where none did.
    pub fn latest_arrival(&self, source: Option<&str>) -> anyhow::Result<Option<LotRecord>> {
        Ok(self.newest_arrivals(source, 1)?.into_iter().next())
    }

    /// The lots that came in last, the newest first, at most so many.
    pub fn newest_arrivals(
        &self,
        source: Option<&str>,
        most: u32,
    ) -> anyhow::Result<Vec<LotRecord>> {
        let found = self
            .connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS} FROM entry JOIN lot ON lot.id = entry.lot_id {FACTS}
                 WHERE entry.kind = 'pickup' AND (?1 IS NULL OR source.id IN (SELECT value FROM json_each(?1))) AND {IN_FORCE}
                 ORDER BY entry.at DESC, entry.id DESC LIMIT ?2"
            ))?
            .query_map(params![self.source_list(source)?, most], read_lot)?
            .collect::<Result<_, _>>()?;
        Ok(found)
    }

    /// The place in which a lot was put when it came in.
    pub fn place_of_arrival(&self, lot: &LotRecord) -> anyhow::Result<String> {
        let place = self
            .connection
            .prepare_cached(&format!(
                "SELECT place.name FROM entry JOIN place ON place.id = entry.place_id
                 WHERE entry.lot_id = ?1 AND entry.kind = 'pickup' AND {IN_FORCE}"
            ))?
            .query_row(params![lot.id], |row| row.get(0))?;
        Ok(place)
    }

    /// What sources are by now, as it follows from the entries: number to the one it is and how that is called; those
    /// that are as they were first named are left out.
    pub(super) fn sources_due(&self) -> rusqlite::Result<BTreeMap<i64, (i64, String)>> {
        let first: BTreeMap<i64, String> = self
            .connection
            .prepare("SELECT id, name FROM source")?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        let mut same: BTreeMap<i64, i64> = first.keys().map(|id| (*id, *id)).collect();
        let mut names = first.clone();
        let mut statement = self.connection.prepare(&format!(
            "SELECT source_id, source_change.name, into_id FROM entry
             JOIN source_change ON source_change.entry_id = entry.id WHERE {IN_FORCE} ORDER BY entry.id"
        ))?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let one = same.get(&row.get(0)?).copied().unwrap_or_default();
            if let Some(name) = row.get(1)? {
                names.insert(one, name);
            }
            if let Some(into) = row.get::<_, Option<i64>>(2)? {
                let into = same.get(&into).copied().unwrap_or_default();
                for root in same.values_mut().filter(|root| **root == one) {
                    *root = into;
                }
            }
        }
        let now = same.into_iter().map(|(id, root)| {
            let name = names.get(&root).cloned().unwrap_or_default();
            (id, (root, name))
        });
        Ok(now
            .filter(|(id, (root, name))| root != id || first.get(id) != Some(name))
            .collect())
    }

    /// How many sources are kept as something that does not follow from the entries.
    pub(super) fn wrong_sources(&self) -> rusqlite::Result<usize> {
        let kept: BTreeMap<i64, (i64, String)> = self
            .connection
            .prepare("SELECT source_id, same_as, name FROM source_now")?
            .query_map([], |row| Ok((row.get(0)?, (row.get(1)?, row.get(2)?))))?
            .collect::<Result<_, _>>()?;
        let due = self.sources_due()?;
        let missing = due.iter().filter(|(id, now)| kept.get(id) != Some(now));
        let too_many = kept.keys().filter(|id| !due.contains_key(id));
        Ok(missing.count() + too_many.count())
    }
}

/// The sources that are one of these.
fn of_these(all: Vec<SourceRecord>, roots: &[i64]) -> Vec<SourceRecord> {
    all.into_iter()
        .filter(|source| roots.contains(&source.same_as))
        .collect()
}

/// The sources that are none of these and one of whose names is near to one of the names.
fn near_to(all: Vec<SourceRecord>, own: &[i64], names: &[String]) -> Vec<SourceRecord> {
    let near: Vec<i64> = all
        .iter()
        .filter(|source| !own.contains(&source.same_as))
        .filter(|source| source.names().any(|one| is_near_any(one, names)))
        .map(|source| source.same_as)
        .collect();
    of_these(all, &near)
}

fn is_near_any(name: &str, names: &[String]) -> bool {
    names.iter().any(|one| near_name::is_near(name, one))
}

/// Of each source a name of its own that is near to one of these.
fn near_names(near: &[SourceRecord], names: &[String]) -> Vec<String> {
    let mut names: Vec<String> = near
        .iter()
        .filter_map(|source| source.names().find(|one| is_near_any(one, names)))
        .cloned()
        .collect();
    names.sort();
    names.dedup();
    names
}

fn list(sources: &[SourceRecord]) -> String {
    let ids: Vec<String> = sources.iter().map(|source| source.id.to_string()).collect();
    format!("[{}]", ids.join(","))
}

impl Act<'_> {
    /// Finds a source by its name, or makes it with letters of its own. A new one whose name is near to that of
    /// another is refused, unless it is said to be new; one said to be new, if another had its name.
    pub(super) fn source(&mut self, name: &str, is_new: bool) -> anyhow::Result<Source> {
        if let Some(known) = self.sources.get(name) {
            return Ok(known.clone());
        }
        let all = self.view().sources()?;
        let source = match meant(&all, name) {
            Some((_, root)) if is_new && !text::is_same_name(&root.name, name) => {
                let (name, now) = (name.to_owned(), root.name.clone());
                let renamed = None;
                return Err(BookRefusal::EarlierName { name, now, renamed }.into());
            }
            Some((named, root)) => Source {
                id: root.id,
                named: named.id,
                name: root.name.clone(),
                letters: root.letters.clone(),
            },
            None => {
                if !is_new {
                    self.view().refuse_near_source(name, None)?;
                }
                self.make_source(name)?
            }
        };
        self.sources.insert(name.to_owned(), source.clone());
        Ok(source)
    }

    /// The source that a lot came from.
    pub(super) fn source_of(&self, lot: &LotRecord) -> rusqlite::Result<Source> {
        let id = self.view().facts_now(lot.id)?.source_id;
        self.transaction
            .prepare_cached("SELECT letters FROM source WHERE id = ?1")?
            .query_row(params![id], |row| {
                Ok(Source {
                    id,
                    named: id,
                    name: lot.source.clone(),
                    letters: row.get(0)?,
                })
            })
    }

    fn make_source(&self, name: &str) -> anyhow::Result<Source> {
        let taken: std::collections::HashSet<String> = self
            .transaction
            .prepare_cached("SELECT letters FROM source")?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        let letters = lot_code::letters_for(name, &|letters| taken.contains(letters));
        self.transaction.execute(
            "INSERT INTO source (name, letters) VALUES (?1, ?2)",
            params![name, letters],
        )?;
        let id = self.transaction.last_insert_rowid();
        Ok(Source {
            id,
            named: id,
            name: name.to_owned(),
            letters,
        })
    }
}
