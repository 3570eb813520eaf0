//! Sheets at true scale: laid out in millimetres, and printed as the pages of a PDF or as one SVG.

use super::handout::{MM, Paper};
use super::sketch::{Anchor, Hand, Sketch};
use super::typefaces::{self, Weight};
use crate::StudioError;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::{Document, SerializeSettings};
use krilla_svg::{SurfaceExt, SvgSettings};

/// What a print is made as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sheet {
    /// The paper; an SVG is at least as large.
    pub paper: Paper,
    /// The kind of file.
    pub form: SheetForm,
    /// Whether bands and steps are counted from the darkest.
    pub turned: bool,
}

/// The kind of file that a print is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetForm {
    /// As many pages as it takes.
    Pdf,
    /// One sheet, wider or higher than the paper where it must be.
    Svg,
}

/// What stands in the head of each page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Head<'a> {
    pub(super) title: &'a str,
    pub(super) date: &'a str,
}

/// A page under way; in millimetres from its upper left corner.
pub(super) struct Page {
    pub(super) sketch: Sketch,
    pub(super) width: f64,
    pub(super) height: f64,
}

/// What printers keep free at the most, and room to hold it by.
pub(super) const MARGIN: f64 = 12.0;

/// Where what stands under the head begins.
pub(super) const TOP: f64 = MARGIN + 9.0;

/// Words in the head, 10 and 8 points: common practice for reading at arm's length, and for captions.
const TITLE: f64 = 10.0 / MM;
const DATE: f64 = 8.0 / MM;

/// No line holds more letters than this; what comes after need not be measured.
const LONGEST: usize = 200;

/// The beginning of a text, as far as it can be drawn: more than there is room for anywhere.
pub(super) fn beginning(text: &str) -> String {
    typefaces::drawable(text).chars().take(LONGEST).collect()
}

impl Sheet {
    /// The paper's width and height in millimetres.
    pub(super) fn size(self) -> (f64, f64) {
        let (width, height) = self.paper.size();
        (width / MM, height / MM)
    }

    /// A band or a step, from 1 at the lightest of so many, by the number that is shown for it.
    pub(super) fn number(self, from_lightest: f64, count: usize) -> f64 {
        if self.turned { (count + 1) as f64 - from_lightest } else { from_lightest }
    }
}

impl Page {
    pub(super) fn new(width: f64, height: f64) -> Self {
        Self { sketch: Sketch::new(), width, height }
    }

    fn head(&mut self, head: Head<'_>, number: Option<usize>) {
        let baseline = MARGIN + TITLE;
        let right = self.width - MARGIN;
        let number = number.map(|number| format!("page {number}"));
        let date = Some(head.date.to_owned()).filter(|date| !date.is_empty());
        let date: Vec<String> = [date, number].into_iter().flatten().collect();
        let date = typefaces::lines(&beginning(&date.join(" · ")), 70.0, DATE, Weight::Regular, 1).concat();
        let room = right - MARGIN - 4.0 - typefaces::length(&date, DATE, Weight::Regular);
        let title = typefaces::lines(&beginning(head.title), room, TITLE, Weight::Bold, 1).concat();
        self.sketch.write(&title, (MARGIN, baseline), Hand::bold(TITLE));
        self.sketch.write(&date, (right, baseline), Hand { anchor: Anchor::End, ..Hand::plain(DATE) });
        self.sketch.line((MARGIN, baseline + 1.2), (right, baseline + 1.2), 0, 0.18);
    }
}

/// Pages as a file, with their heads.
///
/// # Errors
/// [`StudioError::Odd`] where it can't be written.
pub(super) fn printed(mut pages: Vec<Page>, head: Head<'_>, form: SheetForm) -> Result<Vec<u8>, StudioError> {
    let numbered = form == SheetForm::Pdf && pages.len() > 1;
    for (at, page) in pages.iter_mut().enumerate() {
        page.head(head, numbered.then_some(at + 1));
    }
    match form {
        SheetForm::Pdf => pdf(&pages, head),
        SheetForm::Svg => {
            let file = |page: &Page| page.sketch.file(page.width, page.height);
            Ok(pages.iter().map(file).collect::<String>().into_bytes())
        }
    }
}

fn pdf(pages: &[Page], head: Head<'_>) -> Result<Vec<u8>, StudioError> {
    let odd = || StudioError::Odd("the page could not be drawn".to_owned());
    let mut document = Document::new_with(SerializeSettings::default());
    let title = typefaces::drawable(head.title);
    document.set_metadata(Metadata::new().title(title).creator("Tonefast".to_owned()));
    for Page { sketch, width, height } in pages {
        let (across, down) = ((width * MM) as f32, (height * MM) as f32);
        let mut page = document.start_page_with(PageSettings::from_wh(across, down).ok_or_else(odd)?);
        let mut surface = page.surface();
        let size = Size::from_wh(across, down).ok_or_else(odd)?;
        surface.draw_svg(&sketch.tree(*width, *height)?, size, SvgSettings::default()).ok_or_else(odd)?;
        surface.finish();
        page.finish();
    }
    document.finish().map_err(|error| StudioError::Odd(format!("{error:?}")))
}

#[cfg(test)]
pub(super) mod tests;
