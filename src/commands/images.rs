//! Pictures of the user on a page: photographs and the logo, scaled down and written anew.
//!
//! A picture is decoded and encoded again, so that nothing of its file but what can be seen gets onto a sheet: no place where
//! it was taken, no device, no small copy of what was cut off. That needs the cargo feature `photos`.

use super::config::OwnHead;
use super::error::ImageError;
use super::outside::note;
use crate::content::Content;
use crate::sheet::{Block, Document, Image, Letterhead};
use std::collections::BTreeSet;
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// The longest side of a photograph on a page, in pixels.
#[cfg(feature = "photos")]
const PHOTO: u32 = 1000;
/// The same of a logo, which is printed small.
#[cfg(feature = "photos")]
const LOGO: u32 = 480;
/// The largest file that is read, in bytes.
const LARGEST: u64 = 40 << 20;
/// The largest picture that is decoded, in pixels a side.
#[cfg(feature = "photos")]
const WIDEST: u32 = 16_000;
/// How good a photograph is written, of 100.
#[cfg(feature = "photos")]
const QUALITY: u8 = 78;

/// What a picture is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PictureUse {
    /// A place of the visit.
    Photo,
    /// Whose sheet it is: may be transparent.
    Logo,
}

/// Puts the photographs into a page, each once. What cannot be shown says so where it would stand.
pub(super) fn embed(document: &mut Document, content: &Content) {
    for block in &mut document.blocks {
        let Block::Photo(photo) = block else { continue };
        let Some(path) = &photo.path else { continue };
        match picture(path, PictureUse::Photo) {
            Ok(image) => photo.image = Some(image),
            Err(ImageError::NotBuilt) => content.word("text.photo_left_out").clone_into(&mut photo.note),
            Err(ImageError::Read { .. }) => content.word("text.photo_missing").clone_into(&mut photo.note),
            Err(ImageError::TooLarge | ImageError::Format) => {
                content.word("text.photo_unreadable").clone_into(&mut photo.note);
            }
        }
    }
}

/// Leaves each photograph once: two stretches of wall may have the same finding.
pub(super) fn each_once(document: &mut Document) {
    let mut seen = BTreeSet::new();
    document.blocks.retain(|block| match block {
        Block::Photo(photo) => seen.insert((photo.path.clone(), photo.label.clone())),
        _ => true,
    });
}

/// The head of the user's sheets, as the settings have it. A logo that cannot be read is left out, and that is said.
pub(super) fn letterhead(own: &OwnHead, content: &Content) -> Letterhead {
    let labelled = |key: &str, text: &Option<String>| {
        text.as_ref().map(|text| content.word_with(key, &[("text", text)])).into_iter()
    };
    let lines = own.lines.iter().cloned();
    let lines = lines.chain(labelled("label.phone", &own.phone)).chain(labelled("label.licence", &own.licence));
    let logo = own.logo.as_ref().and_then(|path| match picture(path, PictureUse::Logo) {
        Ok(image) => Some(image),
        Err(error) => {
            note(&format!("the logo {} is left out: {error}", path.display()));
            None
        }
    });
    Letterhead { lines: lines.collect(), logo }
}

/// The bytes of a file that is a file, and no larger than may be.
fn bytes_of(path: &Path) -> Result<Vec<u8>, ImageError> {
    let fail = |reason| ImageError::Read { reason };
    let metadata = path.metadata().map_err(fail)?;
    if !metadata.is_file() {
        return Err(ImageError::Format);
    }
    let mut bytes = Vec::new();
    File::open(path).map_err(fail)?.take(LARGEST + 1).read_to_end(&mut bytes).map_err(fail)?;
    if bytes.len() as u64 > LARGEST { Err(ImageError::TooLarge) } else { Ok(bytes) }
}

/// A picture as a page can hold it.
///
/// # Errors
/// [`ImageError`]: it cannot be read, is too large, or is no JPEG or PNG picture.
#[cfg(feature = "photos")]
pub(super) fn picture(path: &Path, shows: PictureUse) -> Result<Image, ImageError> {
    use base64::Engine;
    use base64::engine::general_purpose::STANDARD;
    use image::codecs::jpeg::JpegEncoder;
    use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, RgbImage};
    use std::io::Cursor;

    let bytes = bytes_of(path)?;
    let unread = |_| ImageError::Format;
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|_| ImageError::Format)?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(WIDEST);
    limits.max_image_height = Some(WIDEST);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(unread)?;
    // a camera that was held on its side says so beside the picture, and that is not carried over
    let turned = decoder.orientation().map_err(unread)?;
    let mut image = DynamicImage::from_decoder(decoder).map_err(unread)?;
    image.apply_orientation(turned);
    let most = if shows == PictureUse::Logo { LOGO } else { PHOTO };
    if image.width().max(image.height()) > most {
        image = image.thumbnail(most, most);
    }
    let mut out = Vec::new();
    let kind = if shows == PictureUse::Logo {
        image.into_rgba8().write_to(&mut Cursor::new(&mut out), ImageFormat::Png).map_err(unread)?;
        "png"
    } else {
        // paper is white where a picture is transparent
        let rgba = image.into_rgba8();
        let on_white = |n: u8, alpha: u8| {
            let (n, alpha) = (u32::from(n), u32::from(alpha));
            u8::try_from((n * alpha + 255 * (255 - alpha)) / 255).unwrap_or(u8::MAX)
        };
        let flat = RgbImage::from_fn(rgba.width(), rgba.height(), |x, y| {
            let [r, g, b, alpha] = rgba.get_pixel(x, y).0;
            image::Rgb([r, g, b].map(|n| on_white(n, alpha)))
        });
        image = DynamicImage::ImageRgb8(flat);
        image.write_with_encoder(JpegEncoder::new_with_quality(&mut out, QUALITY)).map_err(unread)?;
        "jpeg"
    };
    let written = ImageReader::new(Cursor::new(&out)).with_guessed_format().map_err(|_| ImageError::Format)?;
    let (width, height) = written.into_dimensions().map_err(unread)?;
    Ok(Image { uri: format!("data:image/{kind};base64,{}", STANDARD.encode(&out)), width, height })
}

/// Without the feature `photos` there are no pictures on pages.
#[cfg(not(feature = "photos"))]
pub(super) fn picture(path: &Path, _: PictureUse) -> Result<Image, ImageError> {
    bytes_of(path)?;
    Err(ImageError::NotBuilt)
}
