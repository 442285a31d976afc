//! Whether a window can open here, asked before one is tried.
//!
//! The window's libraries are looked up while it opens, not when the program is linked, so that its other doors work on
//! a computer without a desktop. Where one of them is missing the window would fail with words that help nobody; here the
//! missing packages are named instead.

use std::collections::BTreeSet;
use std::ffi::OsString;
use std::path::PathBuf;
use std::process::{Command, Stdio};

/// A library and the Debian package that brings it.
type Needed = (&'static str, &'static str);

const X11: [Needed; 7] = [
    ("libX11.so.6", "libx11-6"),
    ("libX11-xcb.so.1", "libx11-xcb1"),
    ("libXcursor.so.1", "libxcursor1"),
    ("libXi.so.6", "libxi6"),
    ("libxkbcommon.so.0", "libxkbcommon0"),
    ("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
    ("libGL.so.1", "libgl1"),
];

const WAYLAND: [Needed; 5] = [
    ("libwayland-client.so.0", "libwayland-client0"),
    ("libwayland-cursor.so.0", "libwayland-cursor0"),
    ("libwayland-egl.so.1", "libwayland-egl1"),
    ("libEGL.so.1", "libegl1"),
    ("libxkbcommon.so.0", "libxkbcommon0"),
];

/// What a window is opened on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// An X server.
    X11,
    /// A Wayland compositor.
    Wayland,
}

impl Screen {
    fn needs(self) -> &'static [Needed] {
        match self {
            Self::X11 => &X11,
            Self::Wayland => &WAYLAND,
        }
    }
}

/// Why no window can open here.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoWindow {
    /// There is no screen.
    #[error(
        "there is no screen to open a window on: neither DISPLAY nor WAYLAND_DISPLAY is set; without a window there \
         are heldfast demo, check, plan, papers and record, and heldfast --help names them all"
    )]
    NoScreen,
    /// There is one, but not all that a window needs.
    #[error(
        "the window needs libraries that are not on this computer ({}); on Debian or Ubuntu they come with: sudo apt \
         install {}",
        libraries.join(", "),
        packages.join(" ")
    )]
    Missing {
        /// Their file names.
        libraries: Vec<&'static str>,
        /// The packages that bring them.
        packages: Vec<&'static str>,
    },
}

/// The screens that the environment names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screens {
    x11: bool,
    wayland: bool,
}

impl Screens {
    /// As the variables say that `var` looks up. One that is empty counts as not set.
    pub fn named_by(var: impl Fn(&str) -> Option<OsString>) -> Self {
        let set = |name| var(name).is_some_and(|value| !value.is_empty());
        Self { x11: set("DISPLAY"), wayland: set("WAYLAND_DISPLAY") || set("WAYLAND_SOCKET") }
    }
}

/// What a window can be opened on, given the screens there are and the libraries that were found. Wayland comes first;
/// X11 is fallen back to where only that is complete.
///
/// # Errors
/// [`NoWindow`]: with the lesser of the two lists where both screens are there and neither is complete.
pub fn verdict(screens: Screens, found: &BTreeSet<String>) -> Result<Screen, NoWindow> {
    let there = [(screens.wayland, Screen::Wayland), (screens.x11, Screen::X11)];
    let mut least: Option<Vec<Needed>> = None;
    for (_, screen) in there.into_iter().filter(|(there, _)| *there) {
        let missing: Vec<Needed> =
            screen.needs().iter().copied().filter(|(library, _)| !found.contains(*library)).collect();
        if missing.is_empty() {
            return Ok(screen);
        }
        if least.as_ref().is_none_or(|least| missing.len() < least.len()) {
            least = Some(missing);
        }
    }
    let (libraries, packages) = least.ok_or(NoWindow::NoScreen)?.into_iter().unzip();
    Err(NoWindow::Missing { libraries, packages })
}

/// Looks at this computer. `Ok(None)` where there is nothing to look for, as on systems other than Linux.
///
/// A window that is opened by itself takes Wayland wherever that is named, so the answer has to be told to whoever opens
/// it.
///
/// # Errors
/// [`NoWindow`], as [`verdict`].
pub fn check() -> Result<Option<Screen>, NoWindow> {
    if !cfg!(target_os = "linux") {
        return Ok(None);
    }
    verdict(Screens::named_by(|name| std::env::var_os(name)), &found()).map(Some)
}

/// The file names of all libraries that would be found here: those in the linker's cache, and those in the folders it
/// looks through.
fn found() -> BTreeSet<String> {
    let cached = ["ldconfig", "/sbin/ldconfig", "/usr/sbin/ldconfig"].into_iter().find_map(cache_listed_by);
    let mut found = cached.unwrap_or_default();
    for (library, _) in X11.iter().chain(&WAYLAND) {
        if !found.contains(*library) && folders().iter().any(|folder| folder.join(library).is_file()) {
            found.insert((*library).to_owned());
        }
    }
    found
}

fn cache_listed_by(ldconfig: &str) -> Option<BTreeSet<String>> {
    let output = Command::new(ldconfig).arg("-p").stdin(Stdio::null()).stderr(Stdio::null()).output().ok()?;
    let listed = listed(&String::from_utf8_lossy(&output.stdout), std::env::consts::ARCH);
    (output.status.success() && !listed.is_empty()).then_some(listed)
}

/// The libraries in the list that `ldconfig -p` prints (ldconfig(8); one line each, `name (kind) => path`). Those for
/// another processor, which a computer may hold beside its own, do not count.
fn listed(list: &str, arch: &str) -> BTreeSet<String> {
    let own = match arch {
        "x86_64" => Some("x86-64"),
        "aarch64" => Some("AArch64"),
        _ => None,
    };
    list.lines()
        .filter_map(|line| {
            let (entry, _path) = line.split_once(" => ")?;
            let (name, kind) = entry.trim().split_once(" (")?;
            own.is_none_or(|own| kind.contains(own)).then(|| name.to_owned())
        })
        .collect()
}

/// Where the linker looks besides its cache.
fn folders() -> Vec<PathBuf> {
    let told = std::env::var_os("LD_LIBRARY_PATH").unwrap_or_default();
    let mut folders: Vec<PathBuf> =
        std::env::split_paths(&told).filter(|folder| folder.is_absolute()).collect();
    let own = format!("{}-linux-gnu", std::env::consts::ARCH);
    for root in ["/lib", "/usr/lib", "/usr/local/lib"] {
        folders.extend([
            PathBuf::from(root).join(&own),
            PathBuf::from(root),
            PathBuf::from(format!("{root}64")),
        ]);
    }
    folders
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::ffi::OsString;

    use super::{NoWindow, Screen, Screens, WAYLAND, X11, listed, verdict};

    const BOTH: Screens = Screens { x11: true, wayland: true };
    const ONLY_X11: Screens = Screens { x11: true, wayland: false };

    fn all_but(missing: &[&str]) -> BTreeSet<String> {
        let all = X11.iter().chain(&WAYLAND).map(|(library, _)| *library);
        all.filter(|library| !missing.contains(library)).map(str::to_owned).collect()
    }

    #[test]
    fn an_empty_variable_names_no_screen() {
        let with = |set: &'static str, value: &'static str| {
            Screens::named_by(move |name| (name == set).then(|| OsString::from(value)))
        };
        assert_eq!(with("DISPLAY", ":0"), ONLY_X11);
        assert_eq!(with("WAYLAND_DISPLAY", "wayland-0"), Screens { x11: false, wayland: true });
        assert_eq!(with("WAYLAND_SOCKET", "7"), Screens { x11: false, wayland: true });
        for screens in [with("DISPLAY", ""), with("WAYLAND_DISPLAY", ""), with("HOME", "/x")] {
            let error = verdict(screens, &all_but(&[])).unwrap_err();
            assert_eq!(error, NoWindow::NoScreen);
            let said = error.to_string();
            assert!(
                ["DISPLAY", "demo", "check", "plan", "papers", "record"]
                    .iter()
                    .all(|word| said.contains(word))
            );
        }
    }

    #[test]
    fn wayland_comes_first_and_x11_is_fallen_back_to() {
        assert_eq!(verdict(BOTH, &all_but(&[])), Ok(Screen::Wayland));
        assert_eq!(verdict(ONLY_X11, &all_but(&[])), Ok(Screen::X11));
        for (library, _) in WAYLAND.iter().filter(|needed| !X11.contains(needed)) {
            assert_eq!(verdict(BOTH, &all_but(&[library])), Ok(Screen::X11), "{library}");
        }
        for (library, _) in X11.iter().filter(|needed| !WAYLAND.contains(needed)) {
            assert_eq!(verdict(BOTH, &all_but(&[library])), Ok(Screen::Wayland), "{library}");
        }
    }

    #[test]
    fn each_missing_library_is_named_with_its_package() {
        for (screens, needs) in [(ONLY_X11, &X11[..]), (Screens { x11: false, wayland: true }, &WAYLAND[..])]
        {
            for (library, package) in needs {
                let said = verdict(screens, &all_but(&[library])).unwrap_err().to_string();
                assert!(said.contains(&format!("({library})")), "{said}");
                assert!(said.ends_with(&format!("sudo apt install {package}")), "{said}");
            }
        }
        let said = verdict(ONLY_X11, &BTreeSet::new()).unwrap_err().to_string();
        let packages = "libx11-6 libx11-xcb1 libxcursor1 libxi6 libxkbcommon0 libxkbcommon-x11-0 libgl1";
        assert!(said.ends_with(packages), "{said}");
    }

    #[test]
    fn where_neither_screen_is_complete_the_lesser_list_is_named() {
        let found = all_but(&["libwayland-client.so.0", "libwayland-egl.so.1", "libGL.so.1"]);
        let packages = vec!["libgl1"];
        assert_eq!(verdict(BOTH, &found), Err(NoWindow::Missing { libraries: vec!["libGL.so.1"], packages }));
        let NoWindow::Missing { packages, .. } = verdict(BOTH, &BTreeSet::new()).unwrap_err() else {
            panic!()
        };
        assert_eq!(packages.len(), WAYLAND.len());
    }

    #[test]
    fn a_library_for_another_processor_does_not_count() {
        // The form of the list as Debian 12's ldconfig 2.36 prints it.
        let list = "3 libs found in cache `/etc/ld.so.cache'\n\
                    \tlibX11.so.6 (libc6,x86-64) => /lib/x86_64-linux-gnu/libX11.so.6\n\
                    \tlibGL.so.1 (libc6) => /lib/i386-linux-gnu/libGL.so.1\n\
                    \tlibEGL.so.1 (libc6,AArch64) => /lib/aarch64-linux-gnu/libEGL.so.1\n\
                    Cache generated by: ldconfig (Debian GLIBC 2.36-9+deb12u10) stable release version 2.36\n";
        let names = |arch| listed(list, arch).into_iter().collect::<Vec<_>>();
        assert_eq!(names("x86_64"), ["libX11.so.6"]);
        assert_eq!(names("aarch64"), ["libEGL.so.1"]);
        assert_eq!(names("riscv64").len(), 3, "where the list cannot tell, all count");
        assert!(listed("", "x86_64").is_empty());
    }

    #[cfg(all(target_os = "linux", target_env = "gnu"))]
    #[test]
    fn the_list_of_this_computer_holds_the_library_that_every_program_needs() {
        let cached = ["ldconfig", "/sbin/ldconfig"].into_iter().find_map(super::cache_listed_by);
        let by_folder = super::folders().iter().any(|folder| folder.join("libc.so.6").is_file());
        assert!(by_folder || cached.is_some_and(|cached| cached.contains("libc.so.6")));
        assert_eq!(super::cache_listed_by("a program that is not there"), None);
    }
}
