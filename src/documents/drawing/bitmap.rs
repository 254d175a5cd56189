//! A picture made of points, such as a logo: PNG or JPEG.
//!
//! Invariants: what is held can be written into a PDF, which is tried once when it is read; its size in
//! bytes and in points is bounded before anything is unpacked. Absent: drawing it, and any other format.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use krilla::Document;
use krilla::geom::Size;
use krilla::image::Image;
use krilla::page::PageSettings;
use std::sync::Arc;

/// The most bytes of a file.
const MOST_BYTES: usize = 200_000;
/// The most points, so that a small file cannot unpack into a large one.
const MOST_POINTS: u64 = 4_000_000;
/// What a PNG begins with (ISO/IEC 15948, 5.2).
const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";
/// What a JPEG begins with (ITU-T T.81, table B.1: SOI, then a marker).
const JPEG: &[u8] = b"\xff\xd8\xff";

/// A picture that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bitmap {
    bytes: Arc<[u8]>,
    is_png: bool,
    size: (u32, u32),
}

/// Why a picture cannot be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BitmapError {
    /// It is not base64.
    #[error("not base64")]
    Letters,
    /// Its file is too large.
    #[error("more than 200 kB")]
    Large,
    /// It unpacks into too many points.
    #[error("more than 4 million points")]
    Points,
    /// It is neither PNG nor JPEG.
    #[error("neither PNG nor JPEG")]
    Format,
    /// It begins as one, and is damaged.
    #[error("a damaged PNG or JPEG")]
    Damaged,
}

impl Bitmap {
    /// A picture from a file written as base64.
    ///
    /// # Errors
    /// What stands against it.
    pub fn from_base64(letters: &str) -> Result<Self, BitmapError> {
        if letters.len() > MOST_BYTES.div_ceil(3) * 4 + 4 {
            return Err(BitmapError::Large);
        }
        let bytes = STANDARD.decode(letters.trim());
        Self::read(&bytes.map_err(|_| BitmapError::Letters)?)
    }

    /// A picture from a file.
    ///
    /// # Errors
    /// What stands against it.
    pub fn read(bytes: &[u8]) -> Result<Self, BitmapError> {
        if bytes.len() > MOST_BYTES {
            return Err(BitmapError::Large);
        }
        let is_png = bytes.starts_with(PNG);
        if !is_png && !bytes.starts_with(JPEG) {
            return Err(BitmapError::Format);
        }
        let bitmap = Self {
            bytes: bytes.into(),
            is_png,
            size: (0, 0),
        };
        let image = bitmap.image().ok_or(BitmapError::Damaged)?;
        let size = image.size();
        if u64::from(size.0) * u64::from(size.1) > MOST_POINTS {
            return Err(BitmapError::Points);
        }
        if size.0 == 0 || size.1 == 0 || !can_be_written(image) {
            return Err(BitmapError::Damaged);
        }
        Ok(Self { size, ..bitmap })
    }

    /// Width and height that fit into a room, in its units, with the picture's own proportions.
    pub fn fitted(&self, room: (f64, f64)) -> (f64, f64) {
        let (wide, high) = (f64::from(self.size.0), f64::from(self.size.1));
        let scale = (room.0 / wide).min(room.1 / high);
        (wide * scale, high * scale)
    }

    /// The picture as an address that holds it whole (RFC 2397).
    pub fn as_address(&self) -> String {
        let kind = if self.is_png { "png" } else { "jpeg" };
        format!("data:image/{kind};base64,{}", STANDARD.encode(&self.bytes))
    }

    pub(super) fn image(&self) -> Option<Image> {
        let data = self.bytes.to_vec().into();
        let image = if self.is_png {
            Image::from_png(data, true)
        } else {
            Image::from_jpeg(data, true)
        };
        image.ok()
    }
}

/// Unpacking is put off until a file is finished, so one is.
fn can_be_written(image: Image) -> bool {
    let (Some(settings), Some(size)) = (PageSettings::from_wh(9.0, 9.0), Size::from_wh(9.0, 9.0))
    else {
        return false;
    };
    let mut document = Document::new();
    let mut page = document.start_page_with(settings);
    let mut surface = page.surface();
    surface.draw_image(image, size);
    surface.finish();
    page.finish();
    document.finish().is_ok()
}
