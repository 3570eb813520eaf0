//! Pictures of snapshots, as files in the painter's own folder: never over what is not ours.

use super::disk::{Disk, Whose};
use super::names::{self, NAMESAKES, numbered};
use super::pictures::PhotoHash;
use super::{Studio, StudioError};
use rusqlite::{Connection, OptionalExtension, params};
use std::io;
use std::path::{Path, PathBuf};
use tempfile::{NamedTempFile, PersistError};

/// A snapshot whose picture is not there, or not as it should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Undrawn {
    /// The snapshot.
    pub snapshot: i64,
    /// Where it was to be; none where that was not tried yet.
    pub path: Option<PathBuf>,
    /// Why it is not; none where it was not tried yet, or what it says has changed since.
    pub trouble: Option<String>,
}

/// What is remembered of a snapshot's picture.
struct Drawing {
    path: PathBuf,
    /// SHA-256 of what was last written there, or at the former path.
    held: Option<String>,
    /// SHA-256 of what was about to be written when the program was cut off.
    coming: Option<String>,
    /// Where it was until then.
    former: Option<PathBuf>,
}

/// What a picture without a title is called.
const UNTITLED: &str = "snapshot";

/// What is told of a picture that was being written when the program ended.
const CUT_OFF: &str = "its writing was cut off";

impl Studio {
    /// Writes the picture of a snapshot (a whole PNG) into a folder of the painter's, under a name made of a title, and
    /// lets those read it whom her umask lets; answers with its path.
    ///
    /// It replaces what was written for the same snapshot before, unless that has changed since. Nothing else is ever
    /// written over: a name that is taken gets a number. What fails is remembered, to be tried again:
    /// [`Studio::undrawn`].
    ///
    /// # Errors
    /// [`StudioError`]; the snapshot is kept all the same.
    pub fn write_png(
        &mut self,
        snapshot: i64,
        folder: &Path,
        title: &str,
        png: &[u8],
    ) -> Result<PathBuf, StudioError> {
        self.snapshot(snapshot)?;
        let wanted = folder.join(format!("{}.png", names::file_stem(title, UNTITLED)));
        let result = self.draw(snapshot, &wanted, png);
        if let Err(error) = &result {
            // Where it can't be noted either, the caller knows it all the same.
            let noted = self.alter(
                "INSERT INTO drawing (snapshot, path, trouble) VALUES (?1, ?2, ?3)
                 ON CONFLICT (snapshot) DO UPDATE SET trouble = ?3",
                params![snapshot, text(&wanted)?, error.to_string()],
            );
            if let Err(error) = noted {
                tracing::warn!("it was not noted that a picture is to be written again: {error}");
            }
        }
        result
    }

    /// Snapshots whose pictures are to be drawn: never drawn yet, changed since, failed, or cut off. What is deleted,
    /// and what has no original to be drawn from, is not among them.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn undrawn(&self) -> Result<Vec<Undrawn>, StudioError> {
        let mut query = self.database.prepare_cached(
            "SELECT snapshot.id, path, trouble, coming IS NOT NULL FROM snapshot
             JOIN session ON session.id = session JOIN photo ON hash = photo
             LEFT JOIN drawing ON snapshot = snapshot.id
             WHERE snapshot.deleted IS NULL AND session.deleted IS NULL AND NOT left_out
             AND (path IS NULL OR trouble IS NOT NULL OR coming IS NOT NULL OR stale) ORDER BY snapshot.place",
        )?;
        let rows = query.query_map([], |row| {
            let cut_off = row.get::<_, Option<bool>>(3)? == Some(true);
            let trouble: Option<String> = row.get(2)?;
            Ok(Undrawn {
                snapshot: row.get(0)?,
                path: row.get::<_, Option<String>>(1)?.map(PathBuf::from),
                trouble: trouble.or_else(|| cut_off.then(|| CUT_OFF.to_owned())),
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Has all pictures drawn anew, as what they say has changed.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn draw_anew(&mut self) -> Result<(), StudioError> {
        self.alter("UPDATE drawing SET stale = 1", [])?;
        Ok(())
    }

    /// The path of a snapshot's picture, if it was ever written.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn png(&self, snapshot: i64) -> Result<Option<PathBuf>, StudioError> {
        let drawing = self.drawing(snapshot)?.filter(|it| it.held.is_some());
        Ok(drawing.map(|it| it.former.unwrap_or(it.path)))
    }

    /// Takes the picture of a snapshot away, unless it has changed since it was written; answers whether it did. It
    /// does not come back but by being drawn again.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn remove_png(&mut self, snapshot: i64) -> Result<bool, StudioError> {
        let Some(drawing) = self.settled(snapshot)? else { return Ok(false) };
        let is_ours = self.is_ours(&drawing.path, drawing.held.as_deref())?;
        if is_ours {
            self.take_away(&drawing.path)?;
        }
        self.alter("DELETE FROM drawing WHERE snapshot = ?1", [snapshot])?;
        Ok(is_ours)
    }

    /// What is to come is noted before it gets its name, so that at any moment it is known what is ours.
    fn draw(&mut self, snapshot: i64, wanted: &Path, png: &[u8]) -> Result<PathBuf, StudioError> {
        let hash = PhotoHash::of(png);
        let folder = wanted.parent().unwrap_or(wanted);
        self.disk.make_folder(folder, Whose::Painter)?;
        let before = self.settled(snapshot)?;
        let ours = match before {
            Some(Drawing { path, held: Some(held), .. }) if self.is_ours(&path, Some(&held))? => {
                Some((path, held))
            }
            _ => None,
        };
        let temporary = self.disk.write_temporary(folder, png, Whose::Painter)?;
        let path = match ours {
            Some((path, held)) if is_namesake(&path, wanted) => {
                self.note(snapshot, &path, Some(&held), &hash, None)?;
                self.disk.persist(temporary, &path)?;
                path
            }
            Some((former, held)) => {
                self.persist_new(temporary, snapshot, wanted, &hash, Some((&former, &held)))?
            }
            None => self.persist_new(temporary, snapshot, wanted, &hash, None)?,
        };
        self.disk.sync_folder(folder)?;
        self.settled(snapshot)?;
        Ok(path)
    }

    /// Gives a picture the first name that nobody has, which is noted before.
    fn persist_new(
        &mut self,
        mut temporary: NamedTempFile,
        snapshot: i64,
        wanted: &Path,
        hash: &PhotoHash,
        former: Option<(&Path, &str)>,
    ) -> Result<PathBuf, StudioError> {
        for number in 1..NAMESAKES {
            let path = numbered(wanted, number);
            if self.disk.has(&path) {
                continue;
            }
            self.note(snapshot, &path, former.map(|it| it.1), hash, former.map(|it| it.0))?;
            match self.disk.persist_new(temporary, &path) {
                Ok(()) => return Ok(path),
                Err(PersistError { error, file }) if error.kind() == io::ErrorKind::AlreadyExists => {
                    temporary = file;
                }
                Err(PersistError { error, .. }) => return Err(error.into()),
            }
        }
        Err(StudioError::Odd(format!("{} has too many namesakes", wanted.display())))
    }

    fn note(
        &mut self,
        snapshot: i64,
        path: &Path,
        held: Option<&str>,
        coming: &PhotoHash,
        former: Option<&Path>,
    ) -> Result<(), StudioError> {
        self.alter(
            "INSERT INTO drawing (snapshot, path, held, coming, former) VALUES (?1, ?2, ?3, ?4, ?5)
             ON CONFLICT (snapshot) DO UPDATE SET path = ?2, held = ?3, coming = ?4, former = ?5",
            params![snapshot, text(path)?, held, coming.digits(), former.map(text).transpose()?],
        )?;
        Ok(())
    }

    /// What is remembered of a picture, once it is seen whether what was to come has come.
    fn settled(&mut self, snapshot: i64) -> Result<Option<Drawing>, StudioError> {
        let Some(drawing) = self.drawing(snapshot)? else { return Ok(None) };
        let Drawing { path, held, coming: Some(coming), former } = drawing else { return Ok(Some(drawing)) };
        if self.is_ours(&path, Some(&coming))? {
            // Under its old title it would stand there twice.
            if let Some(former) = &former
                && self.is_ours(former, held.as_deref())?
            {
                self.take_away(former)?;
            }
            self.alter(
                "UPDATE drawing SET held = coming, coming = NULL, former = NULL, trouble = NULL, stale = 0 WHERE snapshot = ?1",
                [snapshot],
            )?;
            return Ok(Some(Drawing { path, held: Some(coming), coming: None, former: None }));
        }
        let path = former.unwrap_or(path);
        self.alter(
            "UPDATE drawing SET path = ?2, coming = NULL, former = NULL,
             trouble = coalesce(trouble, ?3) WHERE snapshot = ?1",
            params![snapshot, text(&path)?, CUT_OFF],
        )?;
        Ok(Some(Drawing { path, held, coming: None, former: None }))
    }

    fn is_ours(&self, path: &Path, hash: Option<&str>) -> Result<bool, StudioError> {
        is_ours(&*self.disk, path, hash)
    }

    fn take_away(&self, path: &Path) -> Result<(), StudioError> {
        self.disk.remove(path)?;
        Ok(self.disk.sync_folder(path.parent().unwrap_or(path))?)
    }

    fn drawing(&self, snapshot: i64) -> Result<Option<Drawing>, StudioError> {
        drawing(&self.database, snapshot)
    }
}

/// Name and bytes of a snapshot's picture, where it stands as it was written.
pub(super) fn standing_png(
    database: &Connection,
    disk: &dyn Disk,
    uuid: &str,
) -> Result<Option<(String, Vec<u8>)>, StudioError> {
    let mut query = database.prepare_cached("SELECT id FROM snapshot WHERE uuid = ?1")?;
    let Some(Drawing { path, held: Some(held), former: None, .. }) =
        drawing(database, query.query_row([uuid], |row| row.get(0))?)?
    else {
        return Ok(None);
    };
    if !is_ours(disk, &path, Some(&held))? {
        return Ok(None);
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    Ok(Some((name, disk.read(&path)?)))
}

/// Whether what stands at a path has this hash.
fn is_ours(disk: &dyn Disk, path: &Path, hash: Option<&str>) -> Result<bool, StudioError> {
    let Some(hash) = hash.filter(|_| disk.has(path)) else { return Ok(false) };
    Ok(PhotoHash::of(&disk.read(path)?).digits() == hash)
}

fn drawing(database: &Connection, snapshot: i64) -> Result<Option<Drawing>, StudioError> {
    let mut query =
        database.prepare_cached("SELECT path, held, coming, former FROM drawing WHERE snapshot = ?1")?;
    let drawing = query.query_row([snapshot], |row| {
        Ok(Drawing {
            path: PathBuf::from(row.get::<_, String>(0)?),
            held: row.get(1)?,
            coming: row.get(2)?,
            former: row.get::<_, Option<String>>(3)?.map(PathBuf::from),
        })
    });
    Ok(drawing.optional()?)
}

/// Whether a path is the wanted one, or a numbered one of that name.
fn is_namesake(path: &Path, wanted: &Path) -> bool {
    let stem = |path: &Path| path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let number = stem(path).strip_prefix(&stem(wanted)).map(|rest| {
        rest.strip_prefix(" (").and_then(|rest| rest.strip_suffix(')')).and_then(|digits| digits.parse().ok())
    });
    path == wanted || matches!(number, Some(Some(number)) if path == numbered(wanted, number))
}

fn text(path: &Path) -> Result<&str, StudioError> {
    path.to_str().ok_or_else(|| StudioError::Odd(format!("{} is not written in Unicode", path.display())))
}
