//! Many rows of one table written with few statements. What the rows of a file mean is known in `src/rows/`.

use rusqlite::types::ToSqlOutput;
use rusqlite::{Connection, params_from_iter};

/// Rows to a statement. More would gain little and make the statement long to prepare.
const AT_ONCE: usize = 256;

/// Inserts `rows` in their order, each with the values of the columns that `head` names, as in
/// `INSERT INTO weighing (entry_id, sample)`.
///
/// What SQLite does once for every statement costs as much as writing a row, so a long list goes in
/// several rows at a time.
pub(super) fn insert<const WIDTH: usize>(
    connection: &Connection,
    head: &str,
    rows: &[[ToSqlOutput<'_>; WIDTH]],
) -> rusqlite::Result<()> {
    let one = format!("(?{})", ", ?".repeat(WIDTH - 1));
    let (many, rest) = rows.as_chunks::<AT_ONCE>();
    if !many.is_empty() {
        let several = format!("{one}{}", format!(", {one}").repeat(AT_ONCE - 1));
        let mut statement = connection.prepare_cached(&format!("{head} VALUES {several}"))?;
        for rows in many {
            statement.execute(params_from_iter(rows.iter().flatten()))?;
        }
    }
    let mut statement = connection.prepare_cached(&format!("{head} VALUES {one}"))?;
    for row in rest {
        statement.execute(params_from_iter(row))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_written_once_and_in_order() {
        for number in [0, 1, AT_ONCE - 1, AT_ONCE, 2 * AT_ONCE + 3] {
            let connection = Connection::open_in_memory().unwrap();
            connection
                .execute_batch(
                    "CREATE TABLE tub (id INTEGER PRIMARY KEY, number INTEGER, name TEXT)",
                )
                .unwrap();
            let written: Vec<(i64, String)> = (0..number as i64)
                .map(|index| (index * 7, format!("tub {index}")))
                .collect();
            let rows: Vec<[ToSqlOutput<'_>; 2]> = written
                .iter()
                .map(|(number, name)| [(*number).into(), name.as_str().into()])
                .collect();
            insert(&connection, "INSERT INTO tub (number, name)", &rows).unwrap();
            let read: Vec<(i64, String)> = connection
                .prepare("SELECT number, name FROM tub ORDER BY id")
                .unwrap()
                .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
                .unwrap()
                .collect::<Result<_, _>>()
                .unwrap();
            assert_eq!(read, written);
        }
    }
}
