//! The camera: who may ask for it, and what stands in for it in tests.

use crate::doors::is_our_own;
use tauri::webview::{PermissionKind, PermissionResponse};
use tauri::{Runtime, Url, Webview};

/// What the page may ask the web view for: the camera, from the app's own page, and nothing else.
pub(crate) fn permit<R: Runtime>(webview: Webview<R>, kind: PermissionKind) -> PermissionResponse {
    if webview.url().is_ok_and(|url| may_have(&kind, &url)) {
        PermissionResponse::Allow
    } else {
        PermissionResponse::Deny
    }
}

fn may_have(kind: &PermissionKind, url: &Url) -> bool {
    *kind == PermissionKind::Camera && is_our_own(url)
}

/// Gives a window that a test drives the web view's own mock cameras, where the test asks for them.
///
/// # Errors
/// Where the web view can't be reached.
#[cfg(target_os = "linux")]
pub(crate) fn stand_in<R: Runtime>(window: &tauri::WebviewWindow<R>) -> tauri::Result<()> {
    let is = |name: &str, value: &str| std::env::var_os(name).is_some_and(|found| found == value);
    if !(is("TAURI_WEBVIEW_AUTOMATION", "true") && is("TONEFAST_MOCK_CAMERA", "true")) {
        return Ok(());
    }
    window.with_webview(|webview| {
        use webkit2gtk::{SettingsExt, WebViewExt};
        if let Some(settings) = webview.inner().settings() {
            settings.set_enable_mock_capture_devices(true);
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A driven web view grants its mock devices without asking, so that this can't be tried from end to end.
    #[test]
    fn nothing_but_the_camera_is_granted() {
        let page: Url = "tauri://localhost/index.html".parse().unwrap();
        assert!(may_have(&PermissionKind::Camera, &page));
        for other in [
            PermissionKind::Microphone,
            PermissionKind::Geolocation,
            PermissionKind::DisplayCapture,
            PermissionKind::Notifications,
        ] {
            assert!(!may_have(&other, &page), "{other:?}");
        }
    }
}
