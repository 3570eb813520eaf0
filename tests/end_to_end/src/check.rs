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

/// How often a view's button is tapped before it is taken for dead.
const TAPS: usize = 5;

/// What a person does and sees on the screen Check.
impl App {
    /// Waits until a photo is drawn exactly, as it is set to be seen just now, and gives its id.
    ///
    /// # Errors
    /// Where none is in time.
    pub async fn photo(&self) -> Result<String, Error> {
        let script = "return document.body.dataset.ready === 'true' && document.body.dataset.photo";
        let id = self.until("a photo on the screen", script, &[]).await?;
        Ok(id.as_str().unwrap_or_default().to_owned())
    }

    /// Taps the view's button and waits until the view is drawn.
    /// A tap that a busy machine stretches into a hold is a peek, which ends as it should; then it taps again.
    ///
    /// # Errors
    /// Where it isn't in time.
    pub async fn choose(&self, view: View) -> Result<(), Error> {
        let button = self.find(&format!("[data-view='{}']", view.word())).await?;
        for _ in 0..TAPS {
            button.click().await?;
            self.drawn().await?;
            if button.attr("aria-pressed").await?.as_deref() == Some("true") {
                break;
            }
        }
        self.chosen(view).await
    }

    /// Waits until the switch stands on that view and it is drawn.
    ///
    /// # Errors
    /// Where it doesn't in time.
    pub async fn chosen(&self, view: View) -> Result<(), Error> {
        let pressed = format!("[data-view='{}'][aria-pressed='true']", view.word());
        self.find(&pressed).await?;
        self.settled().await
    }

    /// Shows so many screen pixels to a pixel of the photo, about its middle; 0 shows the whole photo.
    ///
    /// # Errors
    /// Where it isn't drawn in time.
    pub async fn zoom(&self, scale: f64) -> Result<(), Error> {
        self.ask(
            "const done = arguments[1]; window.tonefast.zoom(arguments[0], 0.5, 0.5); done()",
            vec![json!(scale)],
        )
        .await?;
        self.settled().await
    }

    /// Takes the web view's graphics away, as a driver does that fails, and waits until the view is there again.
    ///
    /// # Errors
    /// Where it isn't in time.
    pub async fn lose_graphics(&self) -> Result<(), Error> {
        self.ask("window.tonefast.loseContext(); arguments[0]()", Vec::new()).await?;
        self.settled().await
    }

    /// Waits until what was just changed is drawn exactly.
    async fn settled(&self) -> Result<(), Error> {
        self.drawn().await?;
        self.photo().await?;
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

    /// Tells the light: with its sheet open, marks a patch of that kind (`white`, `card`, `dark`, `step`) at fractions
    /// of the picture, and waits until the photo is drawn in it.
    ///
    /// # Errors
    /// Where it isn't in time.
    pub async fn tell_light(&self, kind: &str, x: f64, y: f64) -> Result<(), Error> {
        let before = self.photo().await?;
        self.find(&format!("[data-marks='{kind}']")).await?.click().await?;
        self.tap_picture(x, y).await?;
        self.other_photo(&before).await
    }

    /// What readings stand on, as the open sheet for the light says.
    ///
    /// # Errors
    /// Where it says nothing in time.
    pub async fn told_light(&self) -> Result<String, Error> {
        let script = "return document.querySelector('[data-part=against]')?.innerText.trim() || null";
        Ok(self
            .until("what the readings stand on", script, &[])
            .await?
            .as_str()
            .unwrap_or_default()
            .to_owned())
    }

    /// Waits until another photo than that one is drawn exactly.
    ///
    /// # Errors
    /// Where none is in time.
    pub async fn other_photo(&self, before: &str) -> Result<(), Error> {
        let script =
            "return document.body.dataset.ready === 'true' && document.body.dataset.photo !== arguments[0]";
        self.until("the photo in its light", script, &[json!(before)]).await?;
        Ok(())
    }

    /// Pastes a file of that name and with these bytes, as from a file manager, and waits for nothing.
    ///
    /// # Errors
    /// Where the page can't be reached.
    pub async fn paste(&self, name: &str, bytes: &[u8]) -> Result<(), Error> {
        let script = "const [name, bytes, done] = arguments;
            const clipboardData = new DataTransfer();
            clipboardData.items.add(new File([Uint8Array.from(bytes)], name));
            document.body.dispatchEvent(new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }));
            done();";
        self.ask(script, vec![json!(name), json!(bytes)]).await?;
        Ok(())
    }

    /// Whose fault the error is that is shown, as soon as one is: `file`, `limit`, ...
    ///
    /// # Errors
    /// Where none is shown in time, or it says nothing.
    pub async fn fault(&self) -> Result<String, Error> {
        let script = "const box = document.querySelector('[data-part=error]');
            return box !== null && box.innerText.trim() !== '' && box.dataset.code";
        let answer = self.until("an error", script, &[]).await?;
        answer
            .as_str()
            .map(str::to_owned)
            .ok_or(Error::Odd { what: "an error".to_owned(), answer: answer.to_string() })
    }

    /// Compares each pixel of the canvas with core's own drawing of the same view, zoom and size.
    ///
    /// # Errors
    /// Where the page lacks either, or they differ in size.
    pub async fn agreement(&self) -> Result<Agreement, Error> {
        self.settled().await?;
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
