//! Paints and their strips, as they are kept.

use super::pictures::{self, PhotoHash};
use super::{Moment, Studio, StudioError, next_place, one};
use crate::paint::{PaintAbout, PaintBox, PaintRecord, PaintedStrip};
use rusqlite::{Row, Transaction, named_params};
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::collections::HashSet;

/// A paint.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptPaint {
    /// What it is known by here.
    pub id: i64,
    /// What it is known by everywhere.
    pub uuid: String,
    /// What she says of it.
    pub about: PaintAbout,
    /// When it was begun.
    pub begun: Moment,
    /// Its strips that are not deleted, the oldest first.
    pub strips: Vec<KeptStrip>,
}

/// A strip of a paint.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptStrip {
    /// What it is known by here.
    pub id: i64,
    /// What it is known by everywhere.
    pub uuid: String,
    /// The photo that it was read in; none where it came in by itself.
    pub photo: Option<PhotoHash>,
    /// Whether that photo was left out as it came in, so that the strip can't be shown in it.
    pub left_out: bool,
    /// When it was kept.
    pub kept: Moment,
    /// What was read.
    pub painted: PaintedStrip,
}

impl KeptPaint {
    /// What was painted of it, the oldest first.
    pub fn painted(&self) -> impl Iterator<Item = &PaintedStrip> {
        self.strips.iter().map(|strip| &strip.painted)
    }
}

impl Studio {
    /// Begins a paint; answers with its number.
    ///
    /// # Errors
    /// [`StudioError::Odd`] where it can't be kept, and others.
    pub fn begin_paint(&mut self, about: &PaintAbout, now: Moment) -> Result<i64, StudioError> {
        about.check().map_err(odd)?;
        let change = self.change()?;
        let id = insert_paint(&change, &now.fresh_uuid(), about, now, None)?;
        change.commit()?;
        Ok(id)
    }

    /// The number of the paint that a uuid names, deleted or not.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn paint_of_uuid(&self, uuid: &str) -> Result<i64, StudioError> {
        let mut query = self.database.prepare_cached("SELECT id FROM paint WHERE uuid = ?1")?;
        Ok(query.query_row([uuid], |row| row.get(0))?)
    }

    /// Writes what she says of a paint anew.
    ///
    /// # Errors
    /// [`StudioError::Gone`], [`StudioError::Odd`] and others.
    pub fn describe_paint(&mut self, id: i64, about: &PaintAbout) -> Result<(), StudioError> {
        about.check().map_err(odd)?;
        one(self.alter("UPDATE paint SET about = ?1 WHERE id = ?2", (to_json(about)?, id))?)
    }

    /// Begins a paint with its first strip: both are kept, or neither. Answers with the paint's number.
    ///
    /// # Errors
    /// [`StudioError::Odd`] where either can't be kept, and others.
    pub fn begin_paint_with_strip(
        &mut self,
        about: &PaintAbout,
        painted: &PaintedStrip,
        photo: Option<(&str, &[u8])>,
        now: Moment,
    ) -> Result<i64, StudioError> {
        about.check().map_err(odd)?;
        painted.check().map_err(odd)?;
        let hash = self.keep_strip_photo(photo)?;
        let change = self.change()?;
        let paint = insert_paint(&change, &now.fresh_uuid(), about, now, None)?;
        insert_new_strip(&change, paint, painted, hash.as_ref().zip(photo), now)?;
        change.commit()?;
        Ok(paint)
    }

    /// Keeps a strip of a paint, with the bytes and the name of the photo that it was read in; answers with its number.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where the paint is, [`StudioError::Odd`] where it is no strip, and others.
    pub fn keep_strip(
        &mut self,
        paint: i64,
        painted: &PaintedStrip,
        photo: Option<(&str, &[u8])>,
        now: Moment,
    ) -> Result<i64, StudioError> {
        painted.check().map_err(odd)?;
        let hash = self.keep_strip_photo(photo)?;
        let change = self.change()?;
        let there =
            change.prepare("SELECT 1 FROM paint WHERE id = ?1 AND deleted IS NULL")?.exists([paint])?;
        if !there {
            return Err(StudioError::Gone);
        }
        let id = insert_new_strip(&change, paint, painted, hash.as_ref().zip(photo), now)?;
        change.commit()?;
        Ok(id)
    }

    /// Writes a strip anew: read again dry, or its paper named.
    ///
    /// # Errors
    /// [`StudioError::Gone`], [`StudioError::Odd`] and others.
    pub fn change_strip(&mut self, id: i64, painted: &PaintedStrip) -> Result<(), StudioError> {
        painted.check().map_err(odd)?;
        one(self.alter("UPDATE strip SET painted = ?1 WHERE id = ?2", (to_json(painted)?, id))?)
    }

    /// The paints that are not deleted, in the order in which they were begun.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn paints(&self) -> Result<Vec<KeptPaint>, StudioError> {
        let mut query =
            self.database.prepare_cached("SELECT * FROM paint WHERE deleted IS NULL ORDER BY place")?;
        let rows = query.query_and_then([], |row| self.kept_paint(row))?;
        rows.collect()
    }

    /// A paint, deleted or not.
    ///
    /// # Errors
    /// [`StudioError::Gone`] and others.
    pub fn paint(&self, id: i64) -> Result<KeptPaint, StudioError> {
        let mut query = self.database.prepare_cached("SELECT * FROM paint WHERE id = ?1")?;
        query.query_and_then([id], |row| self.kept_paint(row))?.next().ok_or(StudioError::Gone)?
    }

    /// All paints, to be handed out.
    ///
    /// # Errors
    /// [`StudioError`].
    pub fn paint_box(&self) -> Result<PaintBox, StudioError> {
        let paints = self.paints()?.into_iter().map(|paint| PaintRecord {
            about: paint.about,
            strips: paint.strips.into_iter().map(|strip| strip.painted).collect(),
        });
        Ok(PaintBox::of(paints.collect()))
    }

    /// Takes paints in beside those that are there; one that is there to the digit, or of which a table says just what
    /// a table of one that is there would say, is not taken in twice. Answers with those that are new.
    ///
    /// # Errors
    /// [`StudioError`]; none is then taken in.
    pub fn take_in(&mut self, paints: &PaintBox, now: Moment) -> Result<Vec<i64>, StudioError> {
        let mut here = HashSet::new();
        for paint in self.paint_box()?.paints {
            if paints.is_rounded() {
                here.insert(to_json(&paint.tabled())?);
            }
            here.insert(to_json(&paint)?);
        }
        let change = self.change()?;
        let mut new = Vec::new();
        for paint in &paints.paints {
            if !here.insert(to_json(paint)?) {
                continue;
            }
            paint.about.check().map_err(odd)?;
            let id = insert_paint(&change, &now.fresh_uuid(), &paint.about, now, None)?;
            for painted in &paint.strips {
                painted.check().map_err(odd)?;
                let strip =
                    StripRow { uuid: &now.fresh_uuid(), photo: None, painted, kept: now, deleted: None };
                insert_strip(&change, id, &strip)?;
            }
            new.push(id);
        }
        change.commit()?;
        Ok(new)
    }

    fn keep_strip_photo(&self, photo: Option<(&str, &[u8])>) -> Result<Option<PhotoHash>, StudioError> {
        photo.map(|(_, bytes)| pictures::keep(&*self.disk, &self.photos(), bytes)).transpose()
    }

    fn kept_paint(&self, row: &Row<'_>) -> Result<KeptPaint, StudioError> {
        let id = row.get("id")?;
        let mut query = self.database.prepare_cached(
            "SELECT strip.*, coalesce((SELECT left_out FROM photo WHERE hash = strip.photo), 0) AS left_out
                 FROM strip WHERE paint = ?1 AND deleted IS NULL ORDER BY place",
        )?;
        let strips = query.query_and_then([id], kept_strip)?.collect::<Result<_, _>>()?;
        Ok(KeptPaint {
            id,
            uuid: row.get("uuid")?,
            about: from_json(&row.get::<_, String>("about")?)?,
            begun: Moment(row.get("begun")?),
            strips,
        })
    }
}

/// A strip as its row is written.
pub(super) struct StripRow<'a> {
    pub(super) uuid: &'a str,
    pub(super) photo: Option<&'a PhotoHash>,
    pub(super) painted: &'a PaintedStrip,
    pub(super) kept: Moment,
    pub(super) deleted: Option<i64>,
}

pub(super) fn insert_paint(
    change: &Transaction<'_>,
    uuid: &str,
    about: &PaintAbout,
    begun: Moment,
    deleted: Option<i64>,
) -> Result<i64, StudioError> {
    change.execute(
        "INSERT INTO paint (uuid, place, about, begun, deleted) VALUES (:uuid, :place, :about, :begun, :deleted)",
        named_params! {
            ":uuid": uuid, ":place": next_place(change, "paint")?, ":about": to_json(about)?, ":begun": begun.0,
            ":deleted": deleted,
        },
    )?;
    Ok(change.last_insert_rowid())
}

pub(super) fn insert_strip(
    change: &Transaction<'_>,
    paint: i64,
    strip: &StripRow<'_>,
) -> Result<i64, StudioError> {
    let StripRow { uuid, photo, painted, kept, deleted } = *strip;
    change.execute(
        "INSERT INTO strip (uuid, place, paint, photo, painted, kept, deleted)
         VALUES (:uuid, :place, :paint, :photo, :painted, :kept, :deleted)",
        named_params! {
            ":uuid": uuid, ":place": next_place(change, "strip")?, ":paint": paint,
            ":photo": photo.map(PhotoHash::digits), ":painted": to_json(painted)?, ":kept": kept.0,
            ":deleted": deleted,
        },
    )?;
    Ok(change.last_insert_rowid())
}

/// Writes a strip with the photo that it was read in, whose file is there.
fn insert_new_strip(
    change: &Transaction<'_>,
    paint: i64,
    painted: &PaintedStrip,
    photo: Option<(&PhotoHash, (&str, &[u8]))>,
    now: Moment,
) -> Result<i64, StudioError> {
    if let Some((hash, (name, bytes))) = photo {
        pictures::know(change, hash, name, bytes.len(), now)?;
    }
    let (uuid, photo) = (&now.fresh_uuid(), photo.map(|it| it.0));
    insert_strip(change, paint, &StripRow { uuid, photo, painted, kept: now, deleted: None })
}

fn kept_strip(row: &Row<'_>) -> Result<KeptStrip, StudioError> {
    let photo: Option<String> = row.get("photo")?;
    Ok(KeptStrip {
        id: row.get("id")?,
        uuid: row.get("uuid")?,
        photo: photo.map(PhotoHash::from_digits).transpose()?,
        left_out: row.get("left_out")?,
        kept: Moment(row.get("kept")?),
        painted: from_json(&row.get::<_, String>("painted")?)?,
    })
}

fn to_json(record: &impl Serialize) -> Result<String, StudioError> {
    serde_json::to_string(record).map_err(odd)
}

pub(super) fn from_json<T: DeserializeOwned>(json: &str) -> Result<T, StudioError> {
    serde_json::from_str(json).map_err(odd)
}

#[expect(clippy::needless_pass_by_value, reason = "`map_err` hands errors over by value")]
fn odd(error: impl ToString) -> StudioError {
    StudioError::Odd(error.to_string())
}
