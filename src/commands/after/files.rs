//! Sheets to files beside the visit, and the drawing on the screen.

use super::{Desk, Went};
use crate::commands::error::CommandError;
use crate::commands::hand_over::file_name;
use crate::commands::output::{FormatArg, SheetArg, Target, print, rendered};
use crate::commands::outside::{display_is_likely, open_file, say, width};
use crate::interview::Picked;
use crate::render::drawing;
use std::path::PathBuf;

impl Desk<'_, '_> {
    /// Writes a sheet, or all, as pages beside the visit, and opens the one that was asked for.
    pub(super) fn write_sheets(&mut self) -> Result<Went<()>, CommandError> {
        const SHEETS: [(&str, SheetArg); 5] = [
            ("menu.sheet_homeowner", SheetArg::Homeowner),
            ("menu.sheet_landscaper", SheetArg::Landscaper),
            ("menu.sheet_exterior", SheetArg::Exterior),
            ("menu.sheet_agreement", SheetArg::Agreement),
            ("menu.sheet_background", SheetArg::Background),
        ];
        let mut items: Vec<String> = SHEETS.iter().map(|(key, _)| self.word(key)).collect();
        items.push(self.word("menu.sheet_all"));
        let wanted: Vec<SheetArg> = match self.choose("menu.which_sheet", &items)? {
            Picked::Item(at) if at < SHEETS.len() => vec![SHEETS[at].1],
            Picked::Item(_) => SHEETS.iter().map(|(_, sheet)| *sheet).collect(),
            Picked::Back => return Ok(Went::Back),
            Picked::Leave(how) => return Ok(Went::Left(how)),
        };
        let mut written = Vec::new();
        for sheet in &wanted {
            match self.write_sheet(*sheet) {
                Ok(path) => written.push(path),
                // what cannot be written here leaves the rest as it is
                Err(error) => say(&error.to_string()),
            }
        }
        if let [one] = written.as_slice()
            && display_is_likely()
            && open_file(one).is_err()
        {
            say(&self.word("menu.cannot_open"));
        }
        Ok(Went::Did(()))
    }

    fn write_sheet(&self, sheet: SheetArg) -> Result<PathBuf, CommandError> {
        let session = &self.session;
        let path = session.path.with_file_name(file_name(session.path, sheet, FormatArg::Html));
        let target = Target::new(Some(FormatArg::Html), Some(&path), FormatArg::Html, session.path)?;
        let cover = session.global.cover(session.date());
        let stretches = session.assessed_for_a_sheet()?;
        target.deliver(rendered(&stretches, sheet, &target, None, &cover, session.global)?, session.global)?;
        Ok(path)
    }

    /// The section on the screen: as it is, and as it has to be.
    pub(super) fn draw(&mut self) -> Result<Went<()>, CommandError> {
        let at = match self.which()? {
            Went::Did(at) => at,
            Went::Back => return Ok(Went::Back),
            Went::Left(how) => return Ok(Went::Left(how)),
        };
        let after = self.assess(self.session.plan(at)).picture_after().is_some();
        let mut as_it_is = true;
        if after {
            let items = [self.word("menu.draw_now"), self.word("menu.draw_after")];
            match self.choose("menu.drawing", &items)? {
                Picked::Item(item) => as_it_is = item == 0,
                Picked::Back => return Ok(Went::Back),
                Picked::Leave(how) => return Ok(Went::Left(how)),
            }
        }
        let assessment = self.assess(self.session.plan(at));
        let picture = if as_it_is { assessment.picture() } else { assessment.picture_after() };
        match picture {
            None => say(&CommandError::NothingToDraw.to_string()),
            Some(picture) if self.session.global.plain_look() => {
                // a drawing in characters says nothing to a screen reader; its figures do
                for dimension in &picture.section.dimensions {
                    print(&format!("- {}\n", dimension.label))?;
                }
            }
            Some(picture) => print(&format!("\n{}", drawing(&picture, width().clamp(40, 100), false)))?,
        }
        Ok(Went::Did(()))
    }
}
