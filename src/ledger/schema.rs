//! What the tables, indexes and triggers of a book have to be, and whether they are.

use super::failure::Damage;
use super::migrate::{self, Migration};
use rusqlite::Connection;
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};

/// SHA-256 of the schema of each version, the first one first. A book that somebody gave a trigger, a view or
/// an index of his own is known by it when it is opened.
const KNOWN: [&str; 19] = [
    "84b13893d2efc98197c22b744932d58829624c0e7dd79572a2c344459b5abefd",
    "77a007970c14243df323f7b87751b9ba72296ef60bef35f55adbfd4c6bd47284",
    "1625a72c8314c0cbb01868786362905c708d95d6bf080b1cdc5a1a7b9a224e2a",
    "323cdb6012216e18df01d137b7acdf17d714c72c8f6286b056292cf245cc1055",
    "8ed2338b14284bc4d141f61bfb2e9747d4e5e85b25687ad689e9dd81864f0de9",
    "1d9ce3c580a7e9f38737f978e10c97936d07074c9c5f8ded85b060bc7be5e6c1",
    "49593a00b5dac2f9428eba1e9e4e14074cebfd6ec194b2c9ee2bba7c97e5f41b",
    "c0f1f032930e8b41c70beb8c4fa3ff4216058d57f1fd3b2fb4d016e9fb55781f",
    "aa66a636c60f7c99b1dbf76f16d9bce4bd6405d66f05e86855b6771422af2afa",
    "95c8f2a0f0718e8e2b06d8fc4f139d010c1793a0a80c75c18d855d3a82ffd252",
    "1e3b1335b4ecff595b7c4f8272122d3414117d7abffbc75690a777b068105138",
    "3e74ad2d71824731397a990299b09e46d6715e84d5732b238f5f1874c605b253",
    "c71e707608bda3b6d386beb8a312e24959f5983d9f2cd3cfa7b04049c7703d0c",
    "993dad4cdfb7666ca67ef34f4dc6c370bd1c7f2198dfd448f8c703bbad08ef4f",
    "74112019624c3201755efe06dc69af8d320fdbe73a2994af0d116c7e416667f6",
    "2be27c4f7b87b4143039fd5fccda2a42285d2b6bb52ed4f846345da9dd35a889",
    "a103478a8f38877c842214be218a330b82f0cd5e2ada6c410dc1b1d40e2de852",
    "f7b06cb6afd98347d130819b64481b41e051882c89444d9ab3619a0c187fd258",
    "29a492c0f1da16cf299d04d8fb006489c9dbeed53c80f56750dc2f616858c219",
];

/// All parts but what SQLite makes by itself: its indexes of keys, and what `ANALYZE` writes.
const PARTS: &str = "SELECT type, name, tbl_name, sql FROM sqlite_schema
     WHERE NOT (type = 'table' AND name IN ('sqlite_stat1', 'sqlite_stat2', 'sqlite_stat3', 'sqlite_stat4'))
       AND NOT (type = 'index' AND sql IS NULL AND name GLOB 'sqlite_autoindex_*')
     ORDER BY type, name, tbl_name";

/// Kind, name, table and text of one part of a schema.
type Part = (String, String, String, Option<String>);

fn parts(connection: &Connection) -> rusqlite::Result<Vec<Part>> {
    connection
        .prepare(PARTS)?
        .query_map([], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
        })?
        .collect()
}

/// The digest of a schema: each field with its length, so that no two schemas are written alike.
fn digest(connection: &Connection) -> rusqlite::Result<String> {
    let mut digest = Sha256::new();
    let mut statement = connection.prepare(PARTS)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        for field in 0..4 {
            match row.get_ref(field)?.as_bytes_or_null()? {
                None => digest.update([0]),
                Some(text) => {
                    digest.update([1]);
                    digest.update((text.len() as u64).to_be_bytes());
                    digest.update(text);
                }
            }
        }
    }
    let bytes = digest.finalize();
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// The version whose schema a book has, or nothing where it is none of ours. Reads no table of the book: one may
/// be a view that never ends.
pub(super) fn version_of(connection: &Connection) -> rusqlite::Result<Option<i32>> {
    let found = digest(connection)?;
    let place = KNOWN.iter().position(|known| *known == found);
    Ok(place.and_then(|place| i32::try_from(place + 1).ok()))
}

/// Refuses a book whose schema is not the one of its version, or that was not made by the migrations up to it.
pub(super) fn refuse_changed(connection: &Connection, version: i32) -> anyhow::Result<()> {
    match differences(connection, version)?.into_iter().next() {
        None => Ok(()),
        Some(first) => Err(Damage(format!(
            "{first}; `check` says all that is wrong, `export-all` and `restore` still work"
        ))
        .into()),
    }
}

/// All that differs from the schema of a version, in words.
pub(super) fn differences(connection: &Connection, version: i32) -> anyhow::Result<Vec<String>> {
    let mut told = Vec::new();
    let found = version_of(connection)?;
    match found {
        None => return Ok(other_parts(connection, version)?),
        Some(found) if found != version => told.push(format!(
            "schema: the head says version {version}, the tables are those of version {found}"
        )),
        Some(_) => {}
    }
    let made_by = |step: &Migration| found.is_some_and(|found| step.version <= found);
    let steps: Vec<Migration> = migrate::all().into_iter().filter(made_by).collect();
    let kept: BTreeMap<i32, String> = connection
        .prepare_cached("SELECT version, sql FROM migration")?
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<_, _>>()?;
    for step in &steps {
        match kept.get(&step.version) {
            Some(text) if text == step.sql => {}
            Some(_) => told.push(format!(
                "schema: the book was made by another text of migration {}",
                step.name
            )),
            None => told.push(format!("schema: migration {} is not kept", step.name)),
        }
    }
    if kept.len() > steps.len() {
        told.push("schema: more migrations are kept than made these tables".to_owned());
    }
    Ok(told)
}

/// The names of all tables that a book of any version has.
pub(super) fn own_tables() -> rusqlite::Result<BTreeSet<String>> {
    let fresh = Connection::open_in_memory()?;
    let mut names = BTreeSet::new();
    for step in migrate::all() {
        fresh.execute_batch(step.sql)?;
        let mut statement = fresh.prepare("SELECT name FROM sqlite_schema WHERE type = 'table'")?;
        for name in statement.query_map([], |row| row.get(0))? {
            names.insert(name?);
        }
    }
    Ok(names)
}

/// The parts that a book has too few or too many.
fn other_parts(connection: &Connection, version: i32) -> rusqlite::Result<Vec<String>> {
    let fresh = Connection::open_in_memory()?;
    let newest = i32::try_from(KNOWN.len()).unwrap_or(i32::MAX);
    let version = version.clamp(1, newest);
    for step in migrate::all().iter().filter(|step| step.version <= version) {
        fresh.execute_batch(step.sql)?;
    }
    let (wanted, found) = (parts(&fresh)?, parts(connection)?);
    let mut told = Vec::new();
    let is_known = |part: &Part| {
        wanted
            .iter()
            .any(|known| (&known.0, &known.1) == (&part.0, &part.1))
    };
    for (kind, name, ..) in found.iter().filter(|part| !is_known(part)) {
        told.push(format!("schema: {kind} {name} is not ours"));
    }
    for (kind, name, ..) in wanted.iter().filter(|part| !found.contains(part)) {
        told.push(format!("schema: {kind} {name} is missing or was changed"));
    }
    if told.is_empty() {
        told.push("schema: it is not the one of this version".to_owned());
    }
    Ok(told)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_schema_of_every_version_is_known() {
        let fresh = Connection::open_in_memory().unwrap();
        let found: Vec<String> = migrate::all()
            .iter()
            .map(|step| {
                fresh.execute_batch(step.sql).unwrap();
                digest(&fresh).unwrap()
            })
            .collect();
        assert_eq!(found, KNOWN);
    }

    #[test]
    fn what_analyze_writes_is_no_change_and_a_likely_name_is_none_of_sqlite() {
        let book = Connection::open_in_memory().unwrap();
        book.execute_batch("CREATE TABLE a (b INTEGER UNIQUE)")
            .unwrap();
        let before = digest(&book).unwrap();
        book.execute_batch("INSERT INTO a VALUES (1); ANALYZE")
            .unwrap();
        assert_eq!(digest(&book).unwrap(), before);
        book.execute_batch(
            "CREATE TRIGGER sqlitex BEFORE INSERT ON a BEGIN SELECT RAISE(IGNORE); END",
        )
        .unwrap();
        assert_ne!(digest(&book).unwrap(), before);
    }
}
