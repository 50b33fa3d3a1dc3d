//! What every page needs to know about the logbook: plant, people, things to find, how numbers are shown.

use draw::Theme;
use store::entry::{Currency, LengthUnit, Show};
use store::people::PersonLine;
use store::query::{FoundThing, find_things};
use store::rows::RowOrder;
use store::{Damage, Logbook, Stamp};

/// The logbook at a glance; read anew after each write.
#[derive(Debug, Clone, Default)]
pub struct Snapshot {
    /// Name of the plant.
    pub plant: String,
    /// Everybody, in the order of the roles, then names.
    pub people: Vec<PersonLine>,
    /// True until somebody may change the register.
    pub has_no_engineer: bool,
    /// Things to find.
    pub things: Vec<FoundThing>,
    /// How it is to be shown.
    pub settings: Settings,
    /// Where backups are kept.
    pub backup_folder: Option<std::path::PathBuf>,
}

impl Snapshot {
    /// Reads it.
    ///
    /// # Errors
    /// What the store says.
    pub fn read(logbook: &Logbook) -> store::Result<Self> {
        let conn = logbook.connection();
        Ok(Self {
            plant: store::logbook::plant(conn)?,
            people: store::people::people(conn)?,
            has_no_engineer: store::people::has_no_engineer(conn)?,
            things: find_things(conn)?,
            settings: Settings::read(logbook)?,
            backup_folder: logbook.backup_folder()?,
        })
    }
}

/// What the file is; it changes only where somebody else has to do with it.
#[derive(Debug, Clone)]
pub struct Fixed {
    /// The file.
    pub path: std::path::PathBuf,
    /// Why it cannot be written; none where it can.
    pub read_only: Option<String>,
    /// It could be written when it was opened, and cannot any more: it is another file now.
    pub is_lost: bool,
    /// Who wrote it has gone: this program could go on.
    pub is_free: bool,
    /// That it is a demo.
    pub demo: Option<Demo>,
    /// That it is damaged, and what could be read of it.
    pub damage: Option<Damage>,
    /// The file that is read: the logbook, or a copy of it.
    pub read_path: std::path::PathBuf,
}

/// What a demo logbook is told apart by.
#[derive(Debug, Clone)]
pub struct Demo {
    /// The time that its own clock showed when it was opened.
    pub clock: Stamp,
    /// Names and PINs of the people in it, to be shown: they protect nothing.
    pub pins: Vec<DemoPin>,
}

/// Somebody of the demo plant.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize)]
pub struct DemoPin {
    /// Their name.
    pub name: String,
    /// Their role.
    pub role: String,
    /// Their PIN.
    pub pin: String,
}

/// How numbers and the window are shown; kept in the logbook.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// Unit, decimal mark, names of rows.
    pub show: Show,
    /// Day or night.
    pub theme: Theme,
    /// Angles on rings are read from the inboard end in this plant: what a new sheet begins with.
    pub is_inboard: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            show: Show::default(),
            theme: Theme::Day,
            is_inboard: false,
        }
    }
}

/// One setting with its value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Setting {
    /// Unit of lengths.
    Unit(LengthUnit),
    /// Decimal comma instead of point.
    Comma(bool),
    /// Day or night.
    Theme(Theme),
    /// Angles are read from inboard instead of outboard.
    Inboard(bool),
    /// From which end rows are counted.
    Rows(RowOrder),
    /// What money is counted in; none takes it away.
    Currency(Option<Currency>),
}

const UNIT: &str = "show.unit";
const COMMA: &str = "show.comma";
const THEME: &str = "show.theme";
const VIEWING: &str = "show.viewing";
const ROWS: &str = "show.rows";
const CURRENCY: &str = "show.currency";

impl Setting {
    /// Name and value as the logbook keeps them.
    pub fn words(self) -> (&'static str, String) {
        let (name, value) = match self {
            Self::Currency(currency) => {
                let letters = currency.map(|currency| currency.to_string());
                return (CURRENCY, letters.unwrap_or_default());
            }
            Self::Unit(LengthUnit::Millimetre) => (UNIT, "mm"),
            Self::Unit(LengthUnit::Inch) => (UNIT, "inch"),
            Self::Comma(false) => (COMMA, "0"),
            Self::Comma(true) => (COMMA, "1"),
            Self::Theme(Theme::Day) => (THEME, "day"),
            Self::Theme(Theme::Night) => (THEME, "night"),
            Self::Inboard(false) => (VIEWING, "outboard"),
            Self::Inboard(true) => (VIEWING, "inboard"),
            Self::Rows(RowOrder::FromBarrel) => (ROWS, "barrel"),
            Self::Rows(RowOrder::FromOutboard) => (ROWS, "outboard"),
        };
        (name, value.to_owned())
    }
}

impl Settings {
    /// Reads them; what is not set or not understood stays at its default.
    ///
    /// # Errors
    /// What the store says.
    pub fn read(logbook: &Logbook) -> store::Result<Self> {
        let all = [
            Setting::Unit(LengthUnit::Inch),
            Setting::Comma(true),
            Setting::Theme(Theme::Night),
            Setting::Inboard(true),
            Setting::Rows(RowOrder::FromOutboard),
        ];
        let mut settings = Self::default();
        for setting in all {
            let (name, value) = setting.words();
            if logbook.setting(name)?.as_ref() == Some(&value) {
                settings.apply(setting);
            }
        }
        let currency = logbook.setting(CURRENCY)?;
        settings.show.currency = currency.as_deref().and_then(Currency::read);
        Ok(settings)
    }

    /// Changes one.
    pub fn apply(&mut self, setting: Setting) {
        match setting {
            Setting::Unit(unit) => self.show.unit = unit,
            Setting::Comma(comma) => self.show.comma = comma,
            Setting::Theme(theme) => self.theme = theme,
            Setting::Inboard(is_inboard) => self.is_inboard = is_inboard,
            Setting::Rows(rows) => self.show.rows = rows,
            Setting::Currency(currency) => self.show.currency = currency,
        }
    }
}
