//! Writing a file so that it is whole at every moment, also when the power fails.

use std::fs::{File, Metadata, OpenOptions};
use std::io::{Error, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Held while a file is being written.
static WRITING: Mutex<()> = Mutex::new(());

/// How new files are called until they take their place.
const PREFIX: &str = ".wallfoot-";
const SUFFIX: &str = ".tmp";

/// How many links are followed, as many as most systems do.
const MOST_LINKS: usize = 40;

/// Waits until no file is being written. As long as what is given back lives, none is begun: so the program can end from
/// another thread and leaves no half file behind.
pub fn when_whole() -> MutexGuard<'static, ()> {
    WRITING.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Writes a whole file or nothing: into a new file beside it, which then takes its place. When this comes back, file and name
/// are on the disk, also if the power fails then. A link is followed to the file itself, also to one that is not there yet.
/// Permissions and group stay as they were. Read-only files and what is no file (a device, a folder) are left alone.
///
/// # Errors
/// What the system says, in words that name no passing file.
pub fn write_whole(path: &Path, whole: impl AsRef<[u8]>) -> std::io::Result<()> {
    let _writing = when_whole();
    let path = end_of_links(path)?;
    let folder = folder_of(&path);
    // a folder may also go while the file is written
    into(folder, &path, whole.as_ref()).map_err(|error| {
        if folder.is_dir() {
            return error;
        }
        Error::new(ErrorKind::NotFound, format!("there is no folder {}", folder.display()))
    })
}

fn into(folder: &Path, path: &Path, whole: &[u8]) -> std::io::Result<()> {
    let there = std::fs::metadata(path).ok();
    if there.as_ref().is_some_and(|m| !m.is_file()) {
        return Err(Error::new(ErrorKind::InvalidInput, "that is not a file"));
    }
    if there.as_ref().is_some_and(|m| m.permissions().readonly()) {
        return Err(Error::new(ErrorKind::PermissionDenied, "the file is read-only"));
    }
    // to take the place of a file needs no right to it, only to its folder; nobody loses a file to that
    if there.is_some() && OpenOptions::new().append(true).open(path).is_err_and(|e| is_refused(&e)) {
        return Err(Error::new(
            ErrorKind::PermissionDenied,
            "the file belongs to another user, who lets you read it only",
        ));
    }
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(SUFFIX);
    #[cfg(unix)]
    if there.is_none() {
        use std::os::unix::fs::PermissionsExt;
        // less what the user keeps from others
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    // the library's messages name the passing file, which helps nobody
    let mut file = builder.tempfile_in(folder).map_err(|e| {
        if is_refused(&e) {
            Error::new(e.kind(), format!("no file may be put into the folder {}", folder.display()))
        } else {
            Error::from(e.kind())
        }
    })?;
    // who finds it without a lock knows that nobody writes to it any more
    let _ = file.as_file().try_lock();
    file.write_all(whole).map_err(|e| Error::from(e.kind()))?;
    if let Some(there) = &there {
        keep_access(file.as_file(), there)?;
    }
    file.as_file().sync_all()?;
    file.persist(path).map_err(|e| e.error)?;
    sync_folder(folder)
}

/// Whether the user lacks the right, or nobody has it there.
fn is_refused(error: &Error) -> bool {
    matches!(error.kind(), ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem)
}

/// Takes away the passing files that killed programs left in a folder.
pub(super) fn sweep(folder: &Path) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    let passing = entries.flatten().filter(|entry| {
        let name = entry.file_name();
        name.to_str().is_some_and(|name| name.starts_with(PREFIX) && name.ends_with(SUFFIX))
    });
    for path in passing.map(|entry| entry.path()) {
        let Ok(file) = File::open(&path) else { continue };
        if file.try_lock().is_ok() {
            let _ = std::fs::remove_file(&path);
        }
    }
}

/// The folder that a file stands in.
pub(super) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Where a path leads in the end, whether there is a file or not.
pub(super) fn end_of_links(path: &Path) -> std::io::Result<PathBuf> {
    let mut end = path.to_owned();
    for _ in 0..MOST_LINKS {
        match std::fs::read_link(&end) {
            Ok(target) => end = folder_of(&end).join(target),
            // no link, or nothing there
            Err(_) => return Ok(end),
        }
    }
    Err(Error::new(ErrorKind::InvalidInput, "its links lead in a circle"))
}

/// A file that takes another's place has its permissions, and its group if the system allows that.
#[cfg(unix)]
fn keep_access(file: &File, there: &Metadata) -> std::io::Result<()> {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, fchown};
    let group = file.metadata().map(|now| now.gid() == there.gid());
    if !group.unwrap_or(true) {
        // not every user may give a file to that group; the answers matter more
        let _ = fchown(file, None, Some(there.gid()));
    }
    file.set_permissions(std::fs::Permissions::from_mode(there.permissions().mode() & 0o7777))
}

#[cfg(not(unix))]
fn keep_access(_: &File, _: &Metadata) -> std::io::Result<()> {
    // a file there has what its folder gives it
    Ok(())
}

/// The new name is on the disk only when the folder is.
#[cfg(unix)]
fn sync_folder(folder: &Path) -> std::io::Result<()> {
    match File::open(folder).and_then(|folder| folder.sync_all()) {
        // some file systems know no such thing
        Err(reason)
            if matches!(
                reason.kind(),
                ErrorKind::InvalidInput | ErrorKind::Unsupported | ErrorKind::PermissionDenied
            ) =>
        {
            Ok(())
        }
        other => other,
    }
}

#[cfg(not(unix))]
fn sync_folder(_: &Path) -> std::io::Result<()> {
    // what takes a name there is written through by the system itself
    Ok(())
}
