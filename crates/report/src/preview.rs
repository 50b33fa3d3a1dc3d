//! The pages of a PDF as pictures, to be looked at before it is printed: drawn from the very bytes that are written.

use std::sync::Arc;

use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::page::Page;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{RenderCache, RenderSettings, render};

use crate::ReportError;

/// A wider picture than this is of no use on a screen and takes much memory, px.
const WIDEST: u16 = 4_000;

/// A page as a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Width, px.
    pub width: usize,
    /// Height, px.
    pub height: usize,
    /// Red, green, blue, opacity of each point, row by row from the upper left.
    pub rgba: Vec<u8>,
}

/// A PDF that is looked at.
#[derive(Clone)]
pub struct Preview {
    pdf: Arc<Pdf>,
    sizes: Vec<(f32, f32)>,
}

impl std::fmt::Debug for Preview {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Preview")
            .field("sizes", &self.sizes)
            .finish_non_exhaustive()
    }
}

impl Preview {
    /// Reads a PDF that this crate has made.
    ///
    /// # Errors
    /// [`ReportError::Unreadable`] for what is no PDF.
    pub fn read(bytes: Arc<Vec<u8>>) -> Result<Self, ReportError> {
        let pdf = Pdf::new(bytes).map_err(|error| ReportError::Unreadable(format!("{error:?}")))?;
        let sizes = pdf.pages().iter().map(Page::render_dimensions);
        Ok(Self {
            sizes: sizes.collect(),
            pdf: Arc::new(pdf),
        })
    }

    /// Width and height of each page, points.
    pub fn sizes(&self) -> &[(f32, f32)] {
        &self.sizes
    }

    /// A page, counted from 0, so many px wide; none where there is no such page.
    pub fn page(&self, index: usize, width: u16) -> Option<Picture> {
        let (page_width, page_height) = *self.sizes.get(index)?;
        let width = width.clamp(1, WIDEST);
        let scale = f32::from(width) / page_width.max(1.0);
        // A page is never so much longer than wide that this would be cut: the limit is that of the renderer.
        let height = (page_height * scale)
            .round()
            .clamp(1.0, f32::from(u16::MAX)) as u16;
        let settings = RenderSettings {
            x_scale: scale,
            y_scale: scale,
            width: Some(width),
            height: Some(height),
            bg_color: WHITE,
        };
        let page = self.pdf.pages().get(index)?;
        let drawn = render(
            page,
            &RenderCache::new(),
            &InterpreterSettings::default(),
            &settings,
        );
        Some(Picture {
            width: usize::from(drawn.width()),
            height: usize::from(drawn.height()),
            rgba: drawn.data_as_u8_slice().to_vec(),
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::{Label, LabelGrid, Labels, labels_pdf};

    fn preview() -> Preview {
        let label = Label {
            mark: "WC-17".into(),
            ..Label::default()
        };
        let labels = Labels {
            labels: vec![label; 25],
            grid: LabelGrid::default(),
            ..Labels::default()
        };
        Preview::read(Arc::new(labels_pdf(&labels).unwrap())).unwrap()
    }

    #[test]
    fn a_page_is_drawn_in_its_own_proportions_with_ink_where_it_has_ink() {
        let preview = preview();
        assert_eq!(preview.sizes().len(), 2);
        let (width, height) = preview.sizes()[0];
        assert!((width - 595.28).abs() < 0.1 && (height - 841.89).abs() < 0.1);
        let page = preview.page(0, 210).unwrap();
        assert_eq!((page.width, page.height), (210, 297));
        assert_eq!(page.rgba.len(), 210 * 297 * 4);
        let point = |x: usize, y: usize| &page.rgba[(y * 210 + x) * 4..][..4];
        // The corner finder of the first code, about 5 mm from both edges, and the white of the last place of page 2.
        let is_dark = |x, y| point(x, y)[0] < 128;
        assert!((3..12).any(|x| (3..14).any(|y| is_dark(x, y))));
        let second = preview.page(1, 210).unwrap();
        let last = &second.rgba[(290 * 210 + 200) * 4..][..4];
        assert_eq!(last, [255, 255, 255, 255]);
        assert!(preview.page(2, 210).is_none());
    }

    #[test]
    fn what_is_no_pdf_is_refused() {
        let read = Preview::read(Arc::new(b"no pdf".to_vec()));
        assert!(matches!(read, Err(ReportError::Unreadable(_))));
    }
}
