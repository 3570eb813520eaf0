use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use fantoccini::actions::{
    InputSource, KeyAction, KeyActions, MOUSE_BUTTON_LEFT, MouseActions, PointerAction,
};
use fantoccini::elements::Element;
use fantoccini::error::CmdError;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use tempfile::TempDir;
use tokio::time::sleep;

use crate::Error;
use crate::display::Display;
use crate::driver::{Cameras, Driver};
use crate::places;

/// The app, open in a window that is driven. What it was lent goes with it, also when a test panics.
pub struct App {
    client: Client,
    // In this order: the app and its driver end before the display that they draw on, and before their home.
    driver: Driver,
    _display: Display,
    home: Home,
}

/// Where the app and its driver write.
enum Home {
    /// It goes with them.
    Own(TempDir),
    /// It stays.
    Lent(PathBuf),
}

/// The window's size, in CSS pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// The narrowest that the page must work in: 320 x 640.
    Narrow,
    /// A phone held upright: 390 x 844.
    Phone,
    /// The same phone held sideways: 844 x 390.
    PhoneSideways,
    /// A window on a desk: 1280 x 800.
    Desk,
}

impl Size {
    /// Every size, smallest width first.
    pub const ALL: [Self; 4] = [Self::Narrow, Self::Phone, Self::PhoneSideways, Self::Desk];

    /// Width and height in CSS pixels.
    #[must_use]
    pub fn pixels(self) -> (u32, u32) {
        match self {
            Self::Narrow => (320, 640),
            Self::Phone => (390, 844),
            Self::PhoneSideways => (844, 390),
            Self::Desk => (1280, 800),
        }
    }

    /// A word for it in a file's name.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Narrow => "narrow",
            Self::Phone => "phone",
            Self::PhoneSideways => "phone-sideways",
            Self::Desk => "desk",
        }
    }
}

/// Long enough for software drawing of a large photo while the other core compiles; a page that is well takes
/// a hundredth of it.
const PATIENCE: Duration = Duration::from_secs(30);

/// How often a condition is looked at: well under what a person notices.
const GLANCE: Duration = Duration::from_millis(20);

impl Home {
    fn own() -> Result<Self, Error> {
        Ok(Self::Own(TempDir::with_prefix("tonefast-")?))
    }

    fn path(&self) -> &Path {
        match self {
            Self::Own(folder) => folder.path(),
            Self::Lent(folder) => folder,
        }
    }
}

impl App {
    /// Opens the app with these arguments and waits until its page is there.
    ///
    /// # Errors
    /// Where something isn't built or installed, or the window doesn't open.
    pub async fn open(arguments: &[&Path]) -> Result<Self, Error> {
        Self::start(arguments, Cameras::None, Home::own()?).await
    }

    /// As [`Self::open`], with a home that stays: what was kept before is there again.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub async fn open_at(home: &Path, arguments: &[&Path]) -> Result<Self, Error> {
        fs::create_dir_all(home)?;
        Self::start(arguments, Cameras::None, Home::Lent(home.to_owned())).await
    }

    /// As [`Self::open`], with the web view's own mock cameras.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub async fn open_with_cameras(arguments: &[&Path]) -> Result<Self, Error> {
        Self::start(arguments, Cameras::Mock, Home::own()?).await
    }

    async fn start(arguments: &[&Path], cameras: Cameras, home: Home) -> Result<Self, Error> {
        let binary = places::app()?;
        let display = Display::find_or_start()?;
        let driver = Driver::start(&display, home.path(), cameras)?;
        let capabilities = json!({
            "webkitgtk:browserOptions": { "binary": binary, "args": arguments },
        });
        let mut builder = ClientBuilder::new(HttpConnector::new());
        if let Value::Object(capabilities) = capabilities {
            builder.capabilities(capabilities);
        }
        let client = builder
            .connect(&driver.address())
            .await
            .map_err(|source| Error::NoWindow { source: Box::new(source), log: driver.log() })?;
        let app = Self { client, driver, _display: display, home };
        // The session answers before the page has loaded.
        app.until(
            "the page",
            "return document.readyState === 'complete' && location.href !== 'about:blank'",
            &[],
        )
        .await?;
        Ok(app)
    }

    /// Closes the window in good order.
    ///
    /// # Errors
    /// Where the driver doesn't answer any more: the app has crashed.
    pub async fn close(self) -> Result<(), Error> {
        self.client.clone().close().await?;
        Ok(())
    }

    /// Where it writes.
    pub(crate) fn home(&self) -> &Path {
        self.home.path()
    }

    /// Memory that the app's processes hold, in bytes: theirs alone, and their part of what is shared.
    ///
    /// # Errors
    /// Where the system doesn't say.
    pub fn memory(&self) -> Result<u64, Error> {
        Ok(self.driver.memory()?)
    }

    /// What the app and its driver have written to their standard output and error.
    #[must_use]
    pub fn log(&self) -> String {
        self.driver.log()
    }

    /// Gives the window a size and waits until the page has it.
    ///
    /// # Errors
    /// Where the window doesn't take that size.
    pub async fn resize(&self, size: Size) -> Result<(), Error> {
        let (width, height) = size.pixels();
        self.client.set_window_size(width, height).await?;
        let condition = "return innerWidth === arguments[0] && innerHeight === arguments[1]";
        self.until(&format!("a window of {width} x {height}"), condition, &[json!(width), json!(height)])
            .await?;
        self.drawn().await
    }

    /// Waits until the page has been drawn twice, so that what was just changed is on the screen.
    ///
    /// # Errors
    /// Where the page doesn't answer.
    pub async fn drawn(&self) -> Result<(), Error> {
        let script =
            "const done = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(() => done(true)))";
        match self.client.execute_async(script, Vec::new()).await {
            Ok(_) => {}
            // The page begins anew: whoever waits for something waits for it in the new one.
            Err(error) if begins_anew(&error) => {}
            Err(error) => return Err(error.into()),
        }
        Ok(())
    }

    /// A picture of the window, as PNG.
    ///
    /// # Errors
    /// Where it can't be taken.
    pub async fn picture(&self) -> Result<Vec<u8>, Error> {
        self.drawn().await?;
        Ok(self.client.screenshot().await?)
    }

    /// Runs a script in the page until what it returns is true in JavaScript's sense, and gives that.
    ///
    /// # Errors
    /// Where it doesn't come true in time; `what` names it in the error.
    pub async fn until(&self, what: &str, script: &str, arguments: &[Value]) -> Result<Value, Error> {
        let start = Instant::now();
        loop {
            let answer = match self.client.execute(script, arguments.to_vec()).await {
                Ok(answer) => answer,
                // The page begins anew just now: what is waited for may be in it.
                Err(error) if begins_anew(&error) => Value::Null,
                Err(error) => return Err(error.into()),
            };
            if !matches!(answer, Value::Null | Value::Bool(false)) {
                return Ok(answer);
            }
            if start.elapsed() > PATIENCE {
                let page = self.client.execute(TEXT, Vec::new()).await?;
                return Err(Error::Waited { what: what.to_owned(), page: page.to_string() });
            }
            sleep(GLANCE).await;
        }
    }

    /// Runs a script in the page that hands its answer to the last of its arguments, and gives that.
    ///
    /// # Errors
    /// Where the script throws, or hands nothing over in the driver's time.
    pub async fn ask(&self, script: &str, arguments: Vec<Value>) -> Result<Value, Error> {
        Ok(self.client.execute_async(script, arguments).await?)
    }

    /// The element with that hook, as soon as it is there: `part("verdict")` finds `[data-part="verdict"]`.
    ///
    /// # Errors
    /// Where it doesn't come.
    pub async fn part(&self, name: &str) -> Result<Element, Error> {
        self.find(&format!("[data-part='{name}']")).await
    }

    /// The first element that a CSS selector finds, as soon as there is one.
    ///
    /// # Errors
    /// Where there is none in time.
    pub async fn find(&self, selector: &str) -> Result<Element, Error> {
        self.until(selector, "return document.querySelector(arguments[0]) !== null", &[json!(selector)])
            .await?;
        Ok(self.client.find(Locator::Css(selector)).await?)
    }

    /// Taps an element at a place given in fractions of its width and height, from its upper left corner.
    ///
    /// # Errors
    /// Where the driver can't point there.
    pub async fn tap(&self, element: &Element, x: f64, y: f64) -> Result<(), Error> {
        let (_, _, width, height) = element.rectangle().await?;
        // The driver counts from the element's middle, in whole pixels.
        let (x, y) = (((x - 0.5) * width).round(), ((y - 0.5) * height).round());
        let finger = MouseActions::new("finger".to_owned())
            .then(PointerAction::MoveToElement { element: element.clone(), duration: None, x, y })
            .then(PointerAction::Down { button: MOUSE_BUTTON_LEFT })
            .then(PointerAction::Up { button: MOUSE_BUTTON_LEFT });
        self.client.perform_actions(finger).await?;
        Ok(())
    }

    /// Presses and lets go of a key, wherever the focus is.
    ///
    /// # Errors
    /// Where the driver can't.
    pub async fn press(&self, key: char) -> Result<(), Error> {
        let keys = KeyActions::new("keys".to_owned())
            .then(KeyAction::Down { value: key })
            .then(KeyAction::Up { value: key });
        self.client.perform_actions(keys).await?;
        Ok(())
    }
}

/// What the page has to say: its error box, else all its text.
const TEXT: &str = "return (document.querySelector('[data-part=error]') ?? document.body)?.innerText ?? ''";

/// Whether a script was cut off since the page was loaded anew, as WebKit's driver says it.
fn begins_anew(error: &CmdError) -> bool {
    error.to_string().contains("unload event")
}
