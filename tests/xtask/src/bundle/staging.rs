use std::fs;
use std::io;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;

use crate::places;

/// The workspace's version: all its packages share one.
pub(crate) const VERSION: &str = env!("CARGO_PKG_VERSION");

/// What starts the app from a menu, or from a picture in the file manager.
/// Keys as in the Desktop Entry Specification 1.5.
const DESKTOP: &str = "\
[Desktop Entry]
Type=Application
Name=Tonefast
GenericName=Tone checker
Comment=See the lights and darks of a picture, and measure them
Exec=tonefast %f
Icon=tonefast
Terminal=false
Categories=Graphics;
MimeType=image/jpeg;image/png;image/webp;image/tiff;image/gif;image/bmp;image/heic;image/heif;
StartupNotify=true
";

/// Lays the files of the package out in `staged`, an empty folder, as they will stand from / on.
/// `licences` holds the full texts of all that is built in, for the copyright file.
pub(crate) fn stage(binary: &Path, staged: &Path, architecture: &str, licences: &str) -> io::Result<()> {
    let icon = places::root().join("src-tauri/icons/icon.png");
    let licence = fs::read_to_string(places::root().join("LICENSE"))?;
    put(staged, "usr/bin/tonefast", &fs::read(binary)?, 0o755)?;
    put(staged, "usr/share/applications/tonefast.desktop", DESKTOP.as_bytes(), 0o644)?;
    put(staged, "usr/share/icons/hicolor/512x512/apps/tonefast.png", &fs::read(icon)?, 0o644)?;
    put(staged, "usr/share/doc/tonefast/copyright", copyright(&licence, licences).as_bytes(), 0o644)?;
    let control = control(architecture, kibibytes(staged)?);
    put(staged, "DEBIAN/control", control.as_bytes(), 0o644)
}

/// Fields as in Debian Policy 5.3. From Debian 13 on GTK's package carries `t64` in its name.
fn control(architecture: &str, installed_size: u64) -> String {
    format!(
        "\
Package: tonefast
Version: {VERSION}
Architecture: {architecture}
Maintainer: The Tonefast authors <tonefast@localhost>
Installed-Size: {installed_size}
Depends: libc6, libwebkit2gtk-4.1-0, libgtk-3-0 | libgtk-3-0t64
Section: graphics
Priority: optional
Description: see and measure the lights and darks of a picture
 For painters who work by tone. Opens a photograph, shows it in colour, by
 lightness or in a few bands of tone, and says of two spots which is darker,
 by how much, and whether that is sure. Works offline.
"
    )
}

fn copyright(licence: &str, licences: &str) -> String {
    // The sentence is the IJG licence's condition (2).
    format!(
        "{licence}\nThis software is based in part on the work of the Independent JPEG Group.\n\n\
         What follows is built in, each part under its own licence.\n\n{licences}"
    )
}

/// Writes one file, with its folders. Modes are set, since a person's umask mustn't decide what others may read.
fn put(staged: &Path, inside: &str, bytes: &[u8], mode: u32) -> io::Result<()> {
    let mut folder = staged.to_path_buf();
    let (folders, name) = inside.rsplit_once('/').unwrap_or(("", inside));
    for part in folders.split('/').filter(|part| !part.is_empty()) {
        folder.push(part);
        fs::create_dir_all(&folder)?;
        fs::set_permissions(&folder, fs::Permissions::from_mode(0o755))?;
    }
    let file = folder.join(name);
    fs::write(&file, bytes)?;
    fs::set_permissions(&file, fs::Permissions::from_mode(mode))
}

/// The size of all files below, each rounded up to a whole KiB, as Debian Policy 5.6.20 counts it.
fn kibibytes(folder: &Path) -> io::Result<u64> {
    let mut sum = 0;
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        sum += if path.is_dir() { 1 + kibibytes(&path)? } else { fs::metadata(&path)?.len().div_ceil(1024) };
    }
    Ok(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_control_file_has_the_mandatory_fields_and_a_closing_line_break() {
        // Debian Policy 5.3 calls these mandatory in a binary package's control file.
        let control = control("amd64", 7);
        for field in ["Package", "Version", "Architecture", "Maintainer", "Description"] {
            assert!(control.lines().any(|line| line.starts_with(&format!("{field}: "))), "{field}");
        }
        assert!(control.ends_with('\n'));
        assert!(control.lines().all(|line| !line.is_empty()), "an empty line would end the paragraph");
    }

    #[test]
    fn staged_files_have_the_modes_that_are_asked_for() {
        let staged = std::env::temp_dir().join(format!("tonefast-staging-{}", std::process::id()));
        put(&staged, "usr/bin/tonefast", &[0; 1500], 0o755).expect("written");
        put(&staged, "usr/share/doc/copyright", b"free", 0o644).expect("written");
        let mode =
            |inside: &str| fs::metadata(staged.join(inside)).expect("there").permissions().mode() & 0o777;
        assert_eq!(
            (mode("usr/bin"), mode("usr/bin/tonefast"), mode("usr/share/doc/copyright")),
            (0o755, 0o755, 0o644)
        );
        // Two files of 2 and 1 KiB, and the folders usr, bin, share and doc at 1 KiB each.
        assert_eq!(kibibytes(&staged).expect("a size"), 7);
        fs::remove_dir_all(&staged).expect("removed");
    }
}
