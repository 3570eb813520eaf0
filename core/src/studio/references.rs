//! Who refers to a photo: hand-outs, backups, the list of a session's photos and the purge ask this alone.
//!
//! That a photo belongs to a session (`session_photo`) says what it is called there. It is no reference: by itself it
//! keeps no photo, and hands none out.

/// A column that refers to a photo. The row counts while neither it nor its owner is deleted.
struct Reference {
    table: &'static str,
    column: &'static str,
    /// The table of its owner, and the column that names it; it is in a session where that is the owner.
    owner: &'static str,
}

/// Every column that does; a test holds this list to the database's own foreign keys.
const COLUMNS: &[Reference] = &[
    Reference { table: "snapshot", column: "photo", owner: "session" },
    Reference { table: "strip", column: "photo", owner: "paint" },
];

/// A query of all references to photos, deleted rows included: `photo`, `session` (null where it is in none) and `live`
/// (1 where neither the row nor its owner is deleted).
pub(super) fn references() -> String {
    let queries = COLUMNS.iter().map(|Reference { table, column, owner }| {
        let session = if *owner == "session" { "owner.id" } else { "NULL" };
        format!(
            "SELECT referring.{column} AS photo, {session} AS session,
                 referring.deleted IS NULL AND owner.deleted IS NULL AS live
             FROM {table} AS referring JOIN {owner} AS owner ON owner.id = referring.{owner}
             WHERE referring.{column} IS NOT NULL"
        )
    });
    queries.collect::<Vec<_>>().join(" UNION ALL ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::studio::schema::MIGRATIONS;
    use rusqlite::Connection;
    use std::collections::BTreeSet;

    /// Of a session's photos; no reference.
    const MEMBERSHIP: (&str, &str) = ("session_photo", "photo");

    #[test]
    fn every_column_that_refers_to_a_photo_is_in_the_one_query() {
        let mut database = Connection::open_in_memory().unwrap();
        MIGRATIONS.to_latest(&mut database).unwrap();
        let rows = |query: &str| -> BTreeSet<(String, String)> {
            let mut query = database.prepare(query).unwrap();
            query
                .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
                .unwrap()
                .collect::<Result<_, _>>()
                .unwrap()
        };
        let keys = rows(
            "SELECT it.name, key.\"from\" FROM sqlite_schema AS it, pragma_foreign_key_list(it.name) AS key
             WHERE it.type = 'table' AND key.\"table\" = 'photo'",
        );
        let listed = COLUMNS.iter().map(|it| (it.table, it.column)).chain([MEMBERSHIP]);
        assert_eq!(keys, listed.map(|(table, column)| (table.to_owned(), column.to_owned())).collect());
        // One that is called so and declares no key would get past the check above.
        let named = rows(
            "SELECT it.name, column.name FROM sqlite_schema AS it, pragma_table_info(it.name) AS column
             WHERE it.type = 'table' AND column.name LIKE '%photo%'",
        );
        assert_eq!(named, keys);
        database.prepare(&references()).unwrap();
    }
}
