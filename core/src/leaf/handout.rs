//! A handout: snapshots on pages for a class, as a PDF.

use super::Picture;
use super::ladder::{self, percent};
use super::sketch::{Anchor, Area, Hand, Sketch};
use super::typefaces::{self, Weight};
use super::words::{Captions, VERDICT_LINES, Words, numbers, placed};
use crate::studio::{Seen, SeenView, StudioError};
use crate::{Photo, View};
use krilla::geom::{Size, Transform};
use krilla::image::Image;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::{Document, SerializeSettings};
use krilla_svg::{SurfaceExt, SvgSettings};

/// The paper that it is printed on, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 x 297 mm (ISO 216).
    A4,
    /// 8.5 x 11 inches (ANSI/ASME Y14.1, size A).
    Letter,
}

/// How snapshots stand on pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HandoutLayout {
    /// Six a page, each with its ladder, its title, readings and which is darker.
    Grid,
    /// One a page: as it was seen, with the two other views of colour, lightness and bands.
    OneAPage,
}

/// Pages under way.
pub struct Handout {
    document: Document,
    paper: Paper,
    layout: HandoutLayout,
    title: String,
    pages: usize,
    /// The page that is being filled, and how many snapshots stand on it.
    page: Page,
    count: usize,
}

/// A page as it is filled; measured in points, from its upper left corner.
struct Page {
    pictures: Vec<(Picture, Area)>,
    sketch: Sketch,
}

/// Points to an inch, by definition of PDF's user space (ISO 32000-2, 8.3.2.3).
const POINTS_PER_INCH: f64 = 72.0;
pub(super) const MM: f64 = POINTS_PER_INCH / 25.4;

/// What printers keep free at the most, and room to hold it by.
const MARGIN: f64 = 12.0 * MM;

/// The head's height.
const HEAD: f64 = 9.0 * MM;

/// Words, in points: common practice for reading at arm's length, and for captions.
const BODY: f64 = 10.0;
const CAPTION: f64 = 8.0;

/// The size of a small ladder's words: as small as a caption may be printed and read.
const LADDER: f64 = 6.5;

/// Pictures are drawn with 250 pixels to an inch at the most, which paper holds.
const DOTS_PER_POINT: f64 = 250.0 / POINTS_PER_INCH;

const ACROSS: usize = 2;
const DOWN: usize = 3;

impl Paper {
    /// Width and height in points.
    pub(super) fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0 * MM, 297.0 * MM),
            Self::Letter => (8.5 * POINTS_PER_INCH, 11.0 * POINTS_PER_INCH),
        }
    }
}

impl Handout {
    /// Begins one. Its title stands in each page's head; each snapshot has its own date in its caption.
    #[must_use]
    pub fn new(paper: Paper, layout: HandoutLayout, title: &str) -> Self {
        let mut document = Document::new_with(SerializeSettings::default());
        document.set_metadata(Metadata::new().title(title.to_owned()).creator("Tonefast".to_owned()));
        Self { document, paper, layout, title: title.to_owned(), pages: 0, page: Page::new(), count: 0 }
    }

    /// Adds a snapshot; `photo` is as it comes from its file.
    ///
    /// # Errors
    /// [`StudioError::Odd`] where the photo is not the one that was kept.
    pub fn add(&mut self, photo: &Photo, seen: &Seen, captions: &Captions) -> Result<(), StudioError> {
        let photo = seen.restored(photo)?;
        let words = Words::of(seen, captions, photo.noticed());
        match self.layout {
            HandoutLayout::Grid => {
                let cell = self.cell(self.count);
                self.page.cell(seen, &words, &cell, |page, room| page.pinned(&photo, seen, BODY, room))?;
                self.next_cell()
            }
            HandoutLayout::OneAPage => {
                let body = self.body();
                self.page.whole(&photo, seen, &words, &body)?;
                self.turn()
            }
        }
    }

    /// Adds a snapshot whose photo was left out, by the picture of it that came in instead.
    ///
    /// # Errors
    /// [`StudioError::Odd`] where it can't be drawn.
    pub fn add_drawn(&mut self, drawn: &Photo, seen: &Seen, captions: &Captions) -> Result<(), StudioError> {
        match self.layout {
            HandoutLayout::Grid => {
                let cell = self.cell(self.count);
                let words = Words::of(seen, captions, &[]);
                self.page.cell(seen, &words, &cell, |page, room| page.plain(drawn, room))?;
                self.next_cell()
            }
            HandoutLayout::OneAPage => {
                let body = self.body();
                self.page.plain(drawn, &body)?;
                self.turn()
            }
        }
    }

    fn next_cell(&mut self) -> Result<(), StudioError> {
        self.count += 1;
        if self.count < ACROSS * DOWN { Ok(()) } else { self.turn() }
    }

    /// The PDF.
    ///
    /// # Errors
    /// [`StudioError::Odd`] where it can't be written.
    pub fn finish(mut self) -> Result<Vec<u8>, StudioError> {
        if self.count > 0 || self.pages == 0 {
            self.turn()?;
        }
        self.document.finish().map_err(|error| StudioError::Odd(format!("{error:?}")))
    }

    fn body(&self) -> Area {
        let (width, height) = self.paper.size();
        let top = MARGIN + HEAD;
        Area { x: MARGIN, y: top, width: width - 2.0 * MARGIN, height: height - top - MARGIN }
    }

    fn cell(&self, number: usize) -> Area {
        let body = self.body();
        let gap = 5.0 * MM;
        let width = (body.width - gap * (ACROSS - 1) as f64) / ACROSS as f64;
        let height = (body.height - gap * (DOWN - 1) as f64) / DOWN as f64;
        let (column, row) = ((number % ACROSS) as f64, (number / ACROSS) as f64);
        Area { x: body.x + column * (width + gap), y: body.y + row * (height + gap), width, height }
    }

    /// Writes the page that was filled, and begins another.
    fn turn(&mut self) -> Result<(), StudioError> {
        let (width, height) = self.paper.size();
        let Page { pictures, mut sketch } = std::mem::replace(&mut self.page, Page::new());
        self.pages += 1;
        self.count = 0;
        let baseline = MARGIN + BODY;
        let number = format!("page {}", self.pages);
        let room = width - 2.0 * MARGIN - 12.0 * MM;
        let left = room - typefaces::length(&number, CAPTION, Weight::Regular);
        if let Some(title) = typefaces::lines(&self.title, left, BODY, Weight::Bold, 1).first() {
            sketch.write(title, (MARGIN, baseline), Hand::bold(BODY));
        }
        sketch.write(
            &number,
            (width - MARGIN, baseline),
            Hand { anchor: Anchor::End, ..Hand::plain(CAPTION) },
        );
        sketch.line((MARGIN, baseline + 3.0), (width - MARGIN, baseline + 3.0), 0, 0.5);
        let odd = || StudioError::Odd("the page could not be drawn".to_owned());
        let settings = PageSettings::from_wh(width as f32, height as f32).ok_or_else(odd)?;
        let mut page = self.document.start_page_with(settings);
        let mut surface = page.surface();
        for (Picture { columns, rows, rgba, .. }, Area { x, y, width, height }) in pictures {
            surface.push_transform(&Transform::from_translate(x as f32, y as f32));
            let size = Size::from_wh(width as f32, height as f32).ok_or_else(odd)?;
            surface.draw_image(Image::from_rgba8(rgba, columns, rows), size);
            surface.pop();
        }
        let size = Size::from_wh(width as f32, height as f32).ok_or_else(odd)?;
        surface.draw_svg(&sketch.tree(width, height)?, size, SvgSettings::default()).ok_or_else(odd)?;
        surface.finish();
        page.finish();
        Ok(())
    }
}

impl Page {
    fn new() -> Self {
        Self { pictures: Vec::new(), sketch: Sketch::new() }
    }

    /// A picture as large as an area holds, in its middle; answers with where it stands and its points to a pixel of
    /// the working copy.
    fn place(
        &mut self,
        photo: &Photo,
        seen: &Seen,
        view: View,
        room: &Area,
    ) -> Result<(Area, f64), StudioError> {
        let (area, scale) = fitted(photo, room);
        let picture = Picture::of(photo, seen, view, &seen.division()?, dots(&area))?;
        self.pictures.push((picture, area));
        Ok((area, scale))
    }

    /// A picture as it is.
    fn plain(&mut self, drawn: &Photo, room: &Area) -> Result<(), StudioError> {
        let (area, _) = fitted(drawn, room);
        self.pictures.push((Picture::plain(drawn, dots(&area))?, area));
        Ok(())
    }

    /// A picture with its pins on it.
    fn pinned(&mut self, photo: &Photo, seen: &Seen, size: f64, room: &Area) -> Result<(), StudioError> {
        let (area, scale) = self.place(photo, seen, seen.view.into(), room)?;
        for pin in placed(seen) {
            self.sketch.pin(pin, (area.x, area.y), scale, size, &area);
        }
        Ok(())
    }

    /// One of a grid: the picture, as `draw` places it, beside its ladder, and under them a few lines.
    fn cell(
        &mut self,
        seen: &Seen,
        words: &Words,
        cell: &Area,
        draw: impl FnOnce(&mut Self, &Area) -> Result<(), StudioError>,
    ) -> Result<(), StudioError> {
        let readings: Vec<&str> = words.pins.iter().map(|(reading, _)| reading.as_str()).collect();
        let mut lines = vec![(Hand::bold(BODY * 0.9), words.title.clone(), 1)];
        lines.push((Hand { grey: 0x40, ..Hand::plain(CAPTION) }, words.whence.clone(), 1));
        lines.push((Hand::plain(CAPTION), readings.join("; "), 3));
        lines.push((Hand::plain(CAPTION), words.verdict.clone(), VERDICT_LINES));
        lines.push((Hand::bold(CAPTION), words.file.clone(), 2));
        lines.push((Hand { grey: 0x40, ..Hand::plain(CAPTION) }, shares(seen, words.turned), 2));
        let broken: Vec<(Hand, String)> = lines
            .into_iter()
            .flat_map(|(hand, text, most)| {
                let lines = typefaces::lines(&text, cell.width, hand.size, hand.weight, most);
                lines.into_iter().map(move |line| (hand, line))
            })
            .collect();
        let high: f64 = broken.iter().map(|(hand, _)| 1.2 * hand.size).sum();
        let ladder_width = ladder::WIDTH * LADDER;
        let room =
            Area { width: cell.width - ladder_width, height: (cell.height - high - 4.0).max(1.0), ..*cell };
        draw(self, &room)?;
        let standing = Area {
            x: room.x + room.width + 0.6 * LADDER,
            width: ladder_width - 0.6 * LADDER,
            y: room.y + 0.5 * LADDER,
            height: (room.height - LADDER).max(1.0),
        };
        ladder::draw(&mut self.sketch, &standing, LADDER, &seen.division()?, seen, words.turned);
        let mut y = cell.y + cell.height - high;
        for (hand, line) in broken {
            y += 1.2 * hand.size;
            self.sketch.write(&line, (cell.x, y - 0.25 * hand.size), hand);
        }
        Ok(())
    }

    /// One that has a page: as it was seen with the ladder, the other views, and all that is said of it.
    fn whole(&mut self, photo: &Photo, seen: &Seen, words: &Words, body: &Area) -> Result<(), StudioError> {
        let gap = 4.0 * MM;
        let ladder_width = ladder::WIDTH * BODY;
        // What is said is measured first, on a sheet that is thrown away: pictures take what is left.
        let said = words.draw(&mut Sketch::new(), &Area { y: 0.0, ..*body }, BODY).min(0.4 * body.height);
        let left = body.height - said - 2.0 * gap;
        let large = Area { width: body.width - ladder_width, height: 0.62 * left, ..*body };
        self.pinned(photo, seen, BODY * 1.1, &large)?;
        let standing = Area {
            x: body.x + large.width + 0.6 * BODY,
            width: ladder_width - 0.1 * BODY,
            y: large.y + 0.5 * BODY,
            height: large.height - BODY,
        };
        ladder::draw(&mut self.sketch, &standing, BODY, &seen.division()?, seen, words.turned);
        let width = (body.width - gap) / 2.0;
        let y = large.y + large.height + gap;
        for (at, (view, name)) in others(seen.view).into_iter().enumerate() {
            let x = body.x + at as f64 * (width + gap);
            let room = Area { x, y, width, height: 0.38 * left - 1.4 * CAPTION };
            self.place(photo, seen, view, &room)?;
            let hand = Hand { anchor: Anchor::Middle, ..Hand::plain(CAPTION) };
            self.sketch.write(name, (x + width / 2.0, y + room.height + 1.1 * CAPTION), hand);
        }
        words.draw(&mut self.sketch, &Area { y: body.y + body.height - said, ..*body }, BODY);
        Ok(())
    }
}

/// The views that a picture is not shown in already. Outlines lie on colours.
fn others(shown: SeenView) -> [(View, &'static str); 2] {
    let colour = (View::Colour, "Colour");
    let (lightness, bands) = ((View::Lightness, "Lightness"), (View::Bands, "Bands"));
    match shown {
        SeenView::Colour | SeenView::Outlines => [lightness, bands],
        SeenView::Lightness => [colour, bands],
        SeenView::Bands => [colour, lightness],
    }
}

/// A picture as large as an area holds, in its middle, and its points to a pixel.
fn fitted(photo: &Photo, room: &Area) -> (Area, f64) {
    let (width, height) = (f64::from(photo.size().0), f64::from(photo.size().1));
    let scale = (room.width / width).min(room.height / height);
    let (w, h) = (width * scale, height * scale);
    let (x, y) = (room.x + (room.width - w) / 2.0, room.y + (room.height - h) / 2.0);
    (Area { x, y, width: w, height: h }, scale)
}

/// Pixels along the longer side that paper holds there.
fn dots(area: &Area) -> u32 {
    (area.width.max(area.height) * DOTS_PER_POINT).ceil() as u32
}

/// “Bands 1: 31 %, 2: 11 % …”.
fn shares(seen: &Seen, turned: bool) -> String {
    let number = numbers(seen, turned);
    let each = (1..).zip(&seen.shares).map(|(band, &share)| (number(band), percent(share)));
    let mut each: Vec<(usize, String)> = each.collect();
    each.sort_by_key(|&(number, _)| number);
    let each: Vec<String> = each.into_iter().map(|(number, share)| format!("{number}: {share}")).collect();
    format!("Bands {}", each.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_lie_apart_and_within_what_printers_reach() {
        for paper in [Paper::A4, Paper::Letter] {
            let handout = Handout::new(paper, HandoutLayout::Grid, "");
            let (width, height) = paper.size();
            let cells: Vec<Area> = (0..ACROSS * DOWN).map(|number| handout.cell(number)).collect();
            for (at, cell) in cells.iter().enumerate() {
                assert!(
                    cell.x >= 10.0 * MM && cell.x + cell.width <= width - 10.0 * MM,
                    "{paper:?} {cell:?}"
                );
                assert!(
                    cell.y >= 10.0 * MM && cell.y + cell.height <= height - 10.0 * MM,
                    "{paper:?} {cell:?}"
                );
                let apart = |other: &Area| {
                    (cell.x - other.x).abs() > cell.width || (cell.y - other.y).abs() > cell.height
                };
                assert!(cells[at + 1..].iter().all(apart), "{paper:?} {at}");
            }
        }
    }
}
