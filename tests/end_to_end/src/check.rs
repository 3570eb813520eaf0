use serde_json::{Value, json};

use crate::{App, Error};

/// One of the ways in which a picture is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// As it was taken.
    Colour,
    /// Each pixel as the grey of its lightness.
    Lightness,
    /// Each pixel as the grey of its band.
    Bands,
}

/// A tapped spot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pin {
    /// The first.
    A,
    /// The second.
    B,
}

/// What the screen says of a pin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// L*, 0 to 100, as the row carries it.
    pub lightness: f64,
    /// The band, 1 being the lightest.
    pub band: u32,
}

/// How what the canvas shows compares with what core draws of the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Agreement {
    /// How many pixels were compared.
    pub pixels: u64,
    /// How many differ by more than one 8-bit step in any of R, G and B.
    pub off: u64,
    /// The largest difference, in 8-bit steps.
    pub worst: u64,
}

impl View {
    /// Every view, in the order of the switch.
    pub const ALL: [Self; 3] = [Self::Colour, Self::Lightness, Self::Bands];

    /// Its name in the page's hooks.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Colour => "colour",
            Self::Lightness => "lightness",
            Self::Bands => "bands",
        }
    }
}

impl Pin {
    fn word(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
        }
    }
}

/// What a person does and sees on the screen Check.
impl App {
    /// Waits until a photo is drawn, and gives its id.
    ///
    /// # Errors
    /// Where none is in time.
    pub async fn photo(&self) -> Result<String, Error> {
        let script = "return document.body.dataset.ready === 'true' && document.body.dataset.photo";
        let id = self.until("a photo on the screen", script, &[]).await?;
        Ok(id.as_str().unwrap_or_default().to_owned())
    }

    /// Taps the view's button and waits until the view is drawn.
    ///
    /// # Errors
    /// Where it isn't in time.
    pub async fn choose(&self, view: View) -> Result<(), Error> {
        self.find(&format!("[data-view='{}']", view.word())).await?.click().await?;
        self.chosen(view).await
    }

    /// Waits until the switch stands on that view and it is drawn.
    ///
    /// # Errors
    /// Where it doesn't in time.
    pub async fn chosen(&self, view: View) -> Result<(), Error> {
        let pressed = format!("[data-view='{}'][aria-pressed='true']", view.word());
        self.find(&pressed).await?;
        self.drawn().await
    }

    /// Taps the picture at fractions of the width and height that it takes up on the screen.
    ///
    /// # Errors
    /// Where there is no picture.
    pub async fn tap_picture(&self, x: f64, y: f64) -> Result<(), Error> {
        let picture = self.part("picture").await?;
        self.tap(&picture, x, y).await
    }

    /// The reading of that pin, as soon as it is shown.
    ///
    /// # Errors
    /// Where it isn't in time, or its figures are none.
    pub async fn reading(&self, pin: Pin) -> Result<Reading, Error> {
        let what = format!("a reading of {}", pin.word());
        let script = "const row = document.querySelector(`[data-reading='${arguments[0]}']`);
            return row !== null && row.dataset.lightness !== undefined
                && [Number(row.dataset.lightness), Number(row.dataset.band)]";
        let answer = self.until(&what, script, &[json!(pin.word())]).await?;
        let odd = || Error::Odd { what: what.clone(), answer: answer.to_string() };
        let lightness = answer[0].as_f64().ok_or_else(odd)?;
        let band = answer[1].as_f64().filter(|band| band.fract() == 0.0).ok_or_else(odd)? as u32;
        Ok(Reading { lightness, band })
    }

    /// The sentence that compares the two pins, as soon as there is one.
    ///
    /// # Errors
    /// Where there is none in time.
    pub async fn verdict(&self) -> Result<String, Error> {
        let script = "return document.querySelector('[data-part=verdict]')?.innerText.trim() || null";
        let answer = self.until("a verdict", script, &[]).await?;
        Ok(answer.as_str().unwrap_or_default().to_owned())
    }

    /// Compares each pixel of the canvas with core's own drawing of the same view, zoom and size.
    ///
    /// # Errors
    /// Where the page lacks either, or they differ in size.
    pub async fn agreement(&self) -> Result<Agreement, Error> {
        self.until("the page's account of its pixels", "return window.tonefast !== undefined", &[]).await?;
        self.drawn().await?;
        let answer = self.ask(COMPARE, Vec::new()).await?;
        let odd = || Error::Odd { what: "its pixels".to_owned(), answer: answer.to_string() };
        let count = |name: &str| answer.get(name).and_then(Value::as_u64).ok_or_else(odd);
        Ok(Agreement { pixels: count("pixels")?, off: count("off")?, worst: count("worst")? })
    }
}

/// Compares in the page, where both pictures are: millions of pixels would take the driver seconds to carry.
const COMPARE: &str = "
    const done = arguments[0];
    const bytes = (rgba) => typeof rgba === 'string' ? Uint8Array.from(atob(rgba), (c) => c.charCodeAt(0)) : rgba;
    Promise.all([window.tonefast.pixels(), window.tonefast.truth()]).then(([shown, truth]) => {
        if (shown.width !== truth.width || shown.height !== truth.height)
            return `canvas ${shown.width} x ${shown.height}, core ${truth.width} x ${truth.height}`;
        const a = bytes(shown.rgba), b = bytes(truth.rgba);
        let off = 0, worst = 0;
        for (let i = 0; i < a.length; i += 4) {
            const d = Math.max(Math.abs(a[i] - b[i]), Math.abs(a[i + 1] - b[i + 1]), Math.abs(a[i + 2] - b[i + 2]));
            if (d > 1) off++;
            if (d > worst) worst = d;
        }
        return { pixels: shown.width * shown.height, off, worst };
    }).catch(String).then(done);";
