//! A form: what is asked for, and what was typed so far. Nothing typed is lost until it is saved or discarded.

use std::collections::BTreeMap;

use store::ThingNo;
use store::entry::Show;
use store::sheet::Family;

use super::page::Page;
use super::unit::Unit;

/// What happens to a thing now, told from its row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Act {
    /// A bearing enters the shop with its certificate.
    Received,
    /// It was looked at when it came.
    Inspected,
    /// A bearing is put into a chock.
    PutIn,
    /// A bearing is taken out of its chock.
    TakenOut,
    /// A chock goes on a roll and into the mill.
    Mounted,
    /// A chock comes off.
    CameOff,
    /// A roll ran with its two chocks.
    Campaign,
    /// A gauge was calibrated.
    Calibrated,
    /// It was felt, heard or measured at work.
    Condition,
    /// It may run on past its interval.
    Extension,
    /// When it is to be torn down, and why not now.
    Planned,
    /// It waits for the engineer.
    Hold,
    /// It need not wait any longer.
    Released,
    /// A departure from a limit is accepted.
    Deviation,
    /// It left for outside work.
    SentOut,
    /// It came back.
    Returned,
    /// It is gone for good.
    Scrapped,
    /// Money was spent on it.
    Cost,
    /// It is not to be used any more.
    Blocked,
    /// An inner half goes on a neck.
    OnNeck,
    /// An outer and an inner half go together.
    Paired,
    /// They go together no longer.
    Unpaired,
    /// Its rings were turned in the chock.
    Turned,
    /// Its spacers were reground.
    Reground,
    /// Grease went in.
    Greased,
    /// A paper or a picture is kept with it.
    Attached,
    /// A gauge was found to read wrongly.
    FoundOut,
    /// Something went wrong at the mill.
    Incident,
    /// Liners, keeper or screw were worked on.
    Worked,
    /// Work is asked for, or done.
    MillJob,
    /// It is not where the record has it.
    FoundHere,
    /// A neck or a bore was measured apart from a teardown.
    SeatChecked,
}

impl Act {
    /// The acts of a page.
    pub const fn of(page: Page) -> &'static [Self] {
        match page {
            Page::Bearings => &[
                Self::Received,
                Self::Inspected,
                Self::PutIn,
                Self::OnNeck,
                Self::TakenOut,
                Self::Paired,
                Self::Unpaired,
                Self::FoundHere,
                Self::Turned,
                Self::Reground,
                Self::Greased,
                Self::Attached,
                Self::Hold,
                Self::Released,
                Self::Deviation,
                Self::SentOut,
                Self::Returned,
                Self::Cost,
                Self::Scrapped,
            ],
            Page::Chocks => &[
                Self::Mounted,
                Self::CameOff,
                Self::Campaign,
                Self::FoundHere,
                Self::Condition,
                Self::Extension,
                Self::Planned,
                Self::SeatChecked,
                Self::Attached,
                Self::Hold,
                Self::Released,
                Self::Deviation,
                Self::SentOut,
                Self::Returned,
                Self::Cost,
                Self::Scrapped,
            ],
            Page::Rolls => &[
                Self::Campaign,
                Self::SeatChecked,
                Self::FoundHere,
                Self::Attached,
                Self::Hold,
                Self::Released,
                Self::Deviation,
                Self::SentOut,
                Self::Returned,
                Self::Cost,
                Self::Scrapped,
            ],
            Page::Gauges => &[
                Self::Calibrated,
                Self::FoundOut,
                Self::FoundHere,
                Self::Attached,
                Self::Hold,
                Self::Released,
                Self::SentOut,
                Self::Returned,
                Self::Scrapped,
            ],
            Page::SealBatches | Page::Greases => &[Self::Blocked, Self::Attached],
            Page::Positions => &[Self::Incident, Self::Worked, Self::MillJob, Self::Attached],
            _ => &[],
        }
    }

    /// Whether it can happen to a thing of this sort: only a tapered bearing has spacers.
    pub fn suits(self, kind: &str) -> bool {
        self != Self::Reground || kind.is_empty() || Family::of(kind) == Some(Family::Tapered)
    }

    /// Its words on a button.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Received => "Received",
            Self::Inspected => "Inspected",
            Self::PutIn => "Put into chock",
            Self::TakenOut => "Taken out",
            Self::Mounted => "Mounted",
            Self::CameOff => "Came off",
            Self::Campaign => "Ran in the mill",
            Self::Calibrated => "Calibrated",
            Self::Condition => "Condition",
            Self::Extension => "Extension",
            Self::Planned => "Plan teardown",
            Self::Hold => "Hold",
            Self::Released => "Release",
            Self::Deviation => "Deviation",
            Self::SentOut => "Sent out",
            Self::Returned => "Came back",
            Self::Scrapped => "Scrap for good",
            Self::Cost => "Cost",
            Self::Blocked => "Block",
            Self::OnNeck => "Put on neck",
            Self::Paired => "Pair halves",
            Self::Unpaired => "Unpair",
            Self::Turned => "Turned",
            Self::Reground => "Reground",
            Self::Greased => "Greased",
            Self::Attached => "Document",
            Self::FoundOut => "Found out",
            Self::Incident => "Incident",
            Self::Worked => "Work here",
            Self::MillJob => "Mill job",
            Self::FoundHere => "Found here",
            Self::SeatChecked => "Seat measured",
        }
    }
}

/// Acts that belong together, in the list of what happened.
pub const GROUPS: [(&str, &[Act]); 4] = [
    (
        "It moved",
        &[
            Act::PutIn,
            Act::TakenOut,
            Act::Mounted,
            Act::CameOff,
            Act::Campaign,
            Act::OnNeck,
            Act::Paired,
            Act::Unpaired,
            Act::FoundHere,
        ],
    ),
    (
        "It came, left or ended",
        &[
            Act::Received,
            Act::Inspected,
            Act::SentOut,
            Act::Returned,
            Act::Scrapped,
            Act::Cost,
            Act::Attached,
        ],
    ),
    (
        "It was judged",
        &[
            Act::Hold,
            Act::Released,
            Act::Deviation,
            Act::Extension,
            Act::Planned,
            Act::Blocked,
            Act::Calibrated,
            Act::FoundOut,
        ],
    ),
    (
        "Done, or seen",
        &[
            Act::Turned,
            Act::Reground,
            Act::Greased,
            Act::SeatChecked,
            Act::Condition,
            Act::Incident,
            Act::Worked,
            Act::MillJob,
        ],
    ),
];

impl Act {
    /// The key that chooses it in the list of what happened.
    pub const fn letter(self) -> char {
        match self {
            Self::Received => 'r',
            Self::Inspected => 'i',
            Self::PutIn => 'p',
            Self::TakenOut => 't',
            Self::Mounted => 'm',
            Self::CameOff => 'o',
            Self::Campaign => 'c',
            Self::Calibrated => 'k',
            Self::Condition => 'y',
            Self::Extension => 'e',
            Self::Planned => '4',
            Self::Hold => 'h',
            Self::Released => 'l',
            Self::Deviation => 'v',
            Self::SentOut => 's',
            Self::Returned => 'b',
            Self::Scrapped => 'x',
            Self::Cost => '3',
            Self::Blocked => '0',
            Self::OnNeck => 'n',
            Self::Paired => '2',
            Self::Unpaired => '1',
            Self::Turned => 'u',
            Self::Reground => 'w',
            Self::Greased => 'g',
            Self::Attached => 'd',
            Self::FoundOut => 'z',
            Self::Incident => 'a',
            Self::Worked => 'q',
            Self::MillJob => 'j',
            Self::FoundHere => 'f',
            Self::SeatChecked => '5',
        }
    }

    /// The pages whose things it can happen to.
    pub fn pages(self) -> impl Iterator<Item = Page> {
        Page::ALL
            .into_iter()
            .filter(move |page| Self::of(*page).contains(&self))
    }
}

/// What a form is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Subject {
    /// A new thing of a page.
    New(Page),
    /// A thing that is there.
    Edit(Page, ThingNo),
    /// Something that happened to a thing of a page.
    Act(Page, Act, ThingNo),
}

impl Subject {
    /// Its page.
    pub const fn page(self) -> Page {
        match self {
            Self::New(page) | Self::Edit(page, _) | Self::Act(page, ..) => page,
        }
    }

    /// The thing that is there already.
    pub const fn thing(self) -> Option<ThingNo> {
        match self {
            Self::New(_) => None,
            Self::Edit(_, no) | Self::Act(_, _, no) => Some(no),
        }
    }
}

/// How a field is filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Words on one line.
    Words,
    /// A number with its unit.
    Number(Unit),
    /// A thing of the register, by its code; the word in the file says which sort.
    Thing(&'static str),
    /// One of a few: the word in the file, and the one for people.
    OneOf(&'static [(&'static str, &'static str)]),
    /// A PIN, not shown.
    Pin,
}

/// One field of a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Field {
    /// Its place in the form, and the order of the caret.
    pub path: &'static str,
    /// What it is.
    pub label: &'static str,
    /// How it is filled in.
    pub kind: Kind,
    /// What to write, shown while it is empty.
    pub hint: &'static str,
}

impl Field {
    /// A field without a hint.
    pub const fn new(path: &'static str, label: &'static str, kind: Kind) -> Self {
        Self {
            path,
            label,
            kind,
            hint: "",
        }
    }

    /// What to write.
    pub const fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }
}

/// Something in a form that cannot be saved as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// The field.
    pub path: String,
    /// Why, and what to do.
    pub why: String,
}

/// Whether a form was handed over to be saved; the answer comes later.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sent {
    /// No.
    No,
    /// Yes.
    Once,
    /// Yes, and the next one is added afterwards.
    ForMore,
}

/// What a form holds.
#[derive(Debug, Clone)]
pub struct Form {
    /// What it is for.
    pub subject: Subject,
    /// What stands in the fields, by path.
    pub texts: BTreeMap<String, String>,
    /// What stood in them when the form was opened.
    opened: BTreeMap<String, String>,
    /// The numbers behind what stood in them: what is not typed anew is not rounded anew.
    numbers: BTreeMap<String, i64>,
    /// The unit in which lengths are typed here, whatever is chosen meanwhile.
    pub show: Show,
    /// Saving was tried: what is missing is told from now on.
    pub is_tried: bool,
    /// Whether it was handed over.
    pub sent: Sent,
    /// The caret goes to the first field in the next frame.
    pub wants_caret: bool,
    /// Why the logbook would refuse it as it stands.
    pub refused: Option<String>,
    /// What the logbook asks about it as it stands.
    pub asked: Vec<String>,
    /// What the readings of a seat say stands beside the form, not in it.
    pub tells_beside: bool,
    /// In how many planes a seat is measured.
    pub planes: usize,
    /// What the readings of a seat say so far.
    pub seat: Option<std::sync::Arc<store::sheet::SeatAlone>>,
    /// What stood there to be read when it was handed over.
    pub agreed: Vec<String>,
}

impl Form {
    /// An empty form.
    pub fn new(subject: Subject, show: Show) -> Self {
        Self {
            subject,
            texts: BTreeMap::new(),
            opened: BTreeMap::new(),
            numbers: BTreeMap::new(),
            show,
            is_tried: false,
            sent: Sent::No,
            wants_caret: true,
            refused: None,
            asked: Vec::new(),
            tells_beside: false,
            planes: store::sheet::field::PLANES_USUAL,
            seat: None,
            agreed: Vec::new(),
        }
    }

    /// What stands in a field.
    pub fn text(&self, path: &str) -> &str {
        self.texts.get(path).map_or("", String::as_str)
    }

    /// What stood in it when the form was opened.
    pub fn text_before(&self, path: &str) -> &str {
        self.opened.get(path).map_or("", String::as_str)
    }

    /// Fills a field while the form is being opened.
    pub fn put(&mut self, path: &str, text: impl Into<String>) {
        let text = text.into();
        if !text.is_empty() {
            self.texts.insert(path.into(), text.clone());
            self.opened.insert(path.into(), text);
        }
    }

    /// Fills a field with a number of the record.
    pub fn put_number(&mut self, path: &str, unit: Unit, value: i64) {
        self.put(path, unit.show(value, self.show));
        self.numbers.insert(path.into(), value);
    }

    /// The number of the record behind a field that nobody touched.
    pub fn number_before(&self, path: &str) -> Option<i64> {
        let is_untouched = self.text(path) == self.text_before(path);
        self.numbers.get(path).copied().filter(|_| is_untouched)
    }

    /// Takes what was typed into a field.
    pub fn set(&mut self, path: &str, text: String) {
        if text.is_empty() {
            self.texts.remove(path);
        } else {
            self.texts.insert(path.into(), text);
        }
    }

    /// Whether anything was typed that is not saved.
    pub fn is_changed(&self) -> bool {
        self.texts != self.opened
    }

    /// The same form for the next thing, with what is likely to be alike kept.
    pub fn for_next(&self) -> Self {
        let mut next = Self::new(self.subject, self.show);
        let keep =
            |path: &str| !matches!(path, "code" | "name" | "pin" | "pin_again" | "certificate");
        next.texts = self
            .texts
            .iter()
            .filter(|(path, _)| keep(path))
            .map(|(p, t)| (p.clone(), t.clone()))
            .collect();
        next.opened = next.texts.clone();
        next
    }
}
