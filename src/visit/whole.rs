//! Writing a file so that it is whole at every moment.

use std::io::Write;
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Held while a file is being written.
static WRITING: Mutex<()> = Mutex::new(());

/// Waits until no file is being written. As long as what is given back lives, none is begun: so the program can end from
/// another thread and leaves no half file behind.
pub fn when_whole() -> MutexGuard<'static, ()> {
    WRITING.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Writes a whole file or nothing: into a new file beside it, which then takes its place. A link is
/// followed to the file itself. Read-only files and what is no file (a device, a folder) are left alone.
///
/// # Errors
/// What the system says, in words that name no passing file.
pub fn write_whole(path: &Path, whole: impl AsRef<[u8]>) -> std::io::Result<()> {
    use std::io::{Error, ErrorKind};
    let _writing = when_whole();
    let path = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Err(Error::new(ErrorKind::NotFound, format!("there is no folder {}", folder.display())));
    }
    let there = std::fs::metadata(&path).ok();
    if there.as_ref().is_some_and(|m| !m.is_file()) {
        return Err(Error::new(ErrorKind::InvalidInput, "that is not a file"));
    }
    if there.as_ref().is_some_and(|m| m.permissions().readonly()) {
        return Err(Error::new(ErrorKind::PermissionDenied, "the file is read-only"));
    }
    let mut builder = tempfile::Builder::new();
    builder.prefix(".wallfoot-").suffix(".tmp");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = there.map_or(0o666, |m| m.permissions().mode() & 0o777);
        builder.permissions(std::fs::Permissions::from_mode(mode));
    }
    // the library's messages name the passing file, which helps nobody
    let mut file = builder.tempfile_in(folder).map_err(|e| Error::from(e.kind()))?;
    file.write_all(whole.as_ref()).map_err(|e| Error::from(e.kind()))?;
    file.as_file().sync_all()?;
    file.persist(&path).map_err(|e| e.error)?;
    Ok(())
}
