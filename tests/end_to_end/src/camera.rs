use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};

use crate::{App, Error, View};

/// What the camera has done so far.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counts {
    /// Frames drawn.
    pub frames: u64,
    /// Messages sent for readings.
    pub sent: u64,
}

/// What a person does and sees while the camera is open.
impl App {
    /// Opens the camera and waits until its picture is drawn; gives its columns and rows.
    ///
    /// # Errors
    /// Where it isn't in time.
    pub async fn open_camera(&self) -> Result<(u32, u32), Error> {
        self.part("camera").await?.click().await?;
        self.until("the camera", "return document.body.dataset.camera === 'running'", &[]).await?;
        let script = "return window.tonefast.counts().sent > 0 && (() => {
            const { width, height } = document.querySelector('[data-part=picture] canvas');
            return [width, height];
        })()";
        let size = self.until("a frame", script, &[]).await?;
        let side = |at: usize| size[at].as_u64().and_then(|side| u32::try_from(side).ok());
        side(0)
            .zip(side(1))
            .ok_or(Error::Odd { what: "the frame's size".to_owned(), answer: size.to_string() })
    }

    /// Chooses a view by its button while the camera is open.
    ///
    /// # Errors
    /// Where the switch doesn't take it.
    pub async fn choose_live(&self, view: View) -> Result<(), Error> {
        let button = self.find(&format!("[data-view='{}']", view.word())).await?;
        let pressed = format!("[data-view='{}'][aria-pressed='true']", view.word());
        for _ in 0..5 {
            button.click().await?;
            self.drawn().await?;
            // A tap that a busy machine stretches into a hold is a peek.
            if button.attr("aria-pressed").await?.as_deref() == Some("true") {
                break;
            }
        }
        self.find(&pressed).await?;
        self.drawn().await
    }

    /// What the camera has done so far.
    ///
    /// # Errors
    /// Where the page doesn't say.
    pub async fn counts(&self) -> Result<Counts, Error> {
        let answer = self.ask("arguments[0](window.tonefast.counts())", Vec::new()).await?;
        let count = |name: &str| answer[name].as_u64();
        count("frames")
            .zip(count("sent"))
            .map(|(frames, sent)| Counts { frames, sent })
            .ok_or(Error::Odd { what: "the counts".to_owned(), answer: answer.to_string() })
    }

    /// Shows a drawn frame, RGBA, in place of one of the camera's, each channel's linear light multiplied by its gain,
    /// and gives what the canvas shows of it: its columns and rows, and its RGBA.
    ///
    /// # Errors
    /// Where it isn't shown.
    pub async fn shown_of(
        &self,
        rgba: &[u8],
        (width, height): (u32, u32),
        gains: [f64; 3],
    ) -> Result<(u32, u32, Vec<u8>), Error> {
        let script = "const [text, width, height, gains, done] = arguments;
            try {
                window.tonefast.feed(Uint8ClampedArray.from(atob(text), (c) => c.charCodeAt(0)), width, height, gains);
                done(window.tonefast.livePixels());
            } catch (error) { done({ error: String(error) }); }";
        let arguments = vec![json!(STANDARD.encode(rgba)), json!(width), json!(height), json!(gains)];
        let answer = self.ask(script, arguments).await?;
        let odd = || Error::Odd { what: "the frame's pixels".to_owned(), answer: answer.to_string() };
        let side = |name: &str| answer[name].as_u64().and_then(|side| u32::try_from(side).ok());
        let pixels = answer["rgba"].as_str().and_then(|text| STANDARD.decode(text).ok());
        let ((columns, rows), pixels) = side("width").zip(side("height")).zip(pixels).ok_or_else(odd)?;
        Ok((columns, rows, pixels))
    }

    /// What the readings of the camera stand on: `camera` or `paper`.
    ///
    /// # Errors
    /// Where it never is what is wanted.
    pub async fn stands_on(&self, wanted: &str) -> Result<(), Error> {
        let script = "return document.querySelector('[data-part=live]')?.dataset.against === arguments[0]";
        self.until(&format!("readings against {wanted}"), script, &[Value::from(wanted)]).await?;
        Ok(())
    }
}
