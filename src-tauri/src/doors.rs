//! Where the web view may go, and who may ask the shell for pixels: the app's own page, and nobody else.

use crate::state::Shell;
use tauri::http::HeaderValue;
use tauri::webview::{PageLoadEvent, PageLoadPayload};
use tauri::{Manager, Runtime, Url, WebviewWindow};

/// The origin of the app's own page.
pub(crate) const OWN_ORIGIN: &str =
    if cfg!(any(windows, target_os = "android")) { "http://tauri.localhost" } else { "tauri://localhost" };

/// Whether the web view may go to an address. Loading the page anew is all there is: a system that is short of memory may
/// have ended the page.
pub(crate) fn may_go(url: &Url) -> bool {
    is_our_own(url) && matches!(url.path(), "" | "/" | "/index.html")
}

/// Whether an address is the app's own: `tauri://localhost`, or `http(s)://tauri.localhost` where schemes are not to be
/// had.
pub(crate) fn is_our_own(url: &Url) -> bool {
    match url.scheme() {
        "tauri" => url.host_str() == Some("localhost"),
        "http" | "https" => url.host_str() == Some("tauri.localhost"),
        _ => false,
    }
}

/// Whether a request may be answered. A browser names the origin of every page that could read the answer; an `<img>` can
/// only show it, and names none.
pub(crate) fn may_ask(origin: Option<&HeaderValue>) -> bool {
    let named = |origin: &HeaderValue| Url::parse(origin.to_str().ok()?).ok();
    origin.is_none_or(|origin| named(origin).is_some_and(|url| is_our_own(&url)))
}

/// Forgets what the page before held, as soon as the page is loaded anew.
pub(crate) fn on_page_load<R: Runtime>(window: WebviewWindow<R>, payload: PageLoadPayload<'_>) {
    if payload.event() == PageLoadEvent::Started {
        window.state::<Shell>().forget_page();
    }
}

/// Takes the web view's own menu away, which can reload the page, where it is no help with a text.
///
/// # Errors
/// Where the web view can't be reached.
#[cfg(target_os = "linux")]
pub(crate) fn without_menu<R: Runtime>(window: &WebviewWindow<R>) -> tauri::Result<()> {
    window.with_webview(|webview| {
        use webkit2gtk::{HitTestResultExt, WebViewExt};
        webview.inner().connect_context_menu(|_, _, _, at| !at.context_is_editable());
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_apps_own_page_may_see() {
        let own = |url: &str| is_our_own(&url.parse().unwrap());
        assert!(own("tauri://localhost/index.html") && own("http://tauri.localhost/"));
        for other in
            ["https://localhost/", "tauri://elsewhere/", "https://tauri.localhost.example/", "file:///x"]
        {
            assert!(!own(other), "{other}");
        }
    }

    #[test]
    fn the_web_view_may_go_to_its_own_page_alone() {
        for url in [OWN_ORIGIN, "tauri://localhost", "tauri://localhost/", "tauri://localhost/index.html"] {
            assert!(may_go(&url.parse().unwrap()), "{url}");
        }
        for url in [
            "https://example.org/",
            "http://localhost/",
            "file:///etc/hostname",
            "data:text/html,x",
            "blob:tauri://localhost/1",
            "about:blank",
            "picture://localhost/0/view",
            "tauri://localhost/assets/elsewhere.html",
        ] {
            assert!(!may_go(&url.parse().unwrap()), "{url}");
        }
    }

    #[test]
    fn pixels_are_for_the_apps_own_page() {
        let may = |origin: &'static str| may_ask(Some(&HeaderValue::from_static(origin)));
        assert!(may_ask(None) && may(OWN_ORIGIN));
        for other in ["null", "https://example.org", "tauri://elsewhere", "file://", "http://localhost", ""] {
            assert!(!may(other), "{other}");
        }
    }
}
