//! Colours by role, for light, dark and print, and the style sheet made from them.

use std::fmt::Write as _;

use crate::colour::Rgb;
use crate::series::SeriesId;

/// What a colour is for. Scenes name roles, never colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// Text and the marks that carry the message.
    Ink,
    /// Secondary text, axes.
    Muted,
    /// Grid lines and separators.
    Grid,
    /// The ground the figure stands on.
    Surface,
    /// A slightly different ground: phases, picture placeholders.
    Panel,
    /// Neutral tint of a range that is kept.
    Kept,
    /// A rule or mark that must be seen without belonging to a series.
    Guide,
    /// One of the eight series.
    Series(SeriesId),
}

impl Role {
    const NAMED: [Self; 7] = [
        Self::Ink,
        Self::Muted,
        Self::Grid,
        Self::Surface,
        Self::Panel,
        Self::Kept,
        Self::Guide,
    ];

    /// The role of a series by its running number, counted from 0.
    #[must_use]
    pub fn series(index: usize) -> Self {
        Self::Series(SeriesId::new(index))
    }

    /// The name in classes and variables: `ink`, `muted`, ... `series-1` to `series-8`.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Ink => "ink".to_owned(),
            Self::Muted => "muted".to_owned(),
            Self::Grid => "grid".to_owned(),
            Self::Surface => "surface".to_owned(),
            Self::Panel => "panel".to_owned(),
            Self::Kept => "kept".to_owned(),
            Self::Guide => "guide".to_owned(),
            Self::Series(id) => format!("series-{}", id.index() + 1),
        }
    }

    /// Every role, the named ones first.
    pub fn all() -> impl Iterator<Item = Self> {
        Self::NAMED
            .into_iter()
            .chain(SeriesId::all().map(Self::Series))
    }
}

/// One set of colours.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Theme {
    /// See [`Role::Ink`]; at least 4.5:1 on `surface`, `panel` and `kept`.
    pub ink: Rgb,
    /// See [`Role::Muted`]; at least 4.5:1 on `surface`, `panel` and `kept`.
    pub muted: Rgb,
    /// See [`Role::Grid`].
    pub grid: Rgb,
    /// See [`Role::Surface`].
    pub surface: Rgb,
    /// See [`Role::Panel`].
    pub panel: Rgb,
    /// See [`Role::Kept`].
    pub kept: Rgb,
    /// See [`Role::Guide`]; at least 4.5:1 on `surface`.
    pub guide: Rgb,
    /// The eight series colours; each at least 3:1 on `surface`, `panel` and `kept`.
    pub series: [Rgb; SeriesId::COUNT],
}

// The series keep their hue from theme to theme: indigo, ochre, plum, teal, lilac, olive, clay,
// steel. Lightness varies too, so that they stay apart without colour vision.
const LIGHT_SERIES: [Rgb; SeriesId::COUNT] = [
    Rgb(0x3c, 0x4b, 0x94),
    Rgb(0xac, 0x73, 0x1a),
    Rgb(0x65, 0x22, 0x3b),
    Rgb(0x12, 0x8f, 0x8c),
    Rgb(0x86, 0x7c, 0xcd),
    Rgb(0x5a, 0x54, 0x18),
    Rgb(0x84, 0x5e, 0x5b),
    Rgb(0x27, 0x70, 0x9c),
];

const DARK_SERIES: [Rgb; SeriesId::COUNT] = [
    Rgb(0x7e, 0x93, 0xe2),
    Rgb(0xcc, 0xae, 0x63),
    Rgb(0xb0, 0x6f, 0x7b),
    Rgb(0x7d, 0xe8, 0xee),
    Rgb(0x7f, 0x74, 0xc4),
    Rgb(0xcd, 0xdd, 0xa1),
    Rgb(0xc5, 0x85, 0x80),
    Rgb(0x76, 0xbc, 0xd7),
];

impl Theme {
    /// Warm paper, dark ink.
    #[must_use]
    pub fn light() -> Self {
        Self {
            ink: Rgb(0x1a, 0x27, 0x32),
            muted: Rgb(0x55, 0x61, 0x6b),
            grid: Rgb(0xdc, 0xd7, 0xca),
            surface: Rgb(0xfa, 0xf8, 0xf3),
            panel: Rgb(0xf1, 0xee, 0xe6),
            kept: Rgb(0xe6, 0xec, 0xed),
            guide: Rgb(0x3d, 0x5a, 0x66),
            series: LIGHT_SERIES,
        }
    }

    /// Slate ground, pale ink.
    #[must_use]
    pub fn dark() -> Self {
        Self {
            ink: Rgb(0xe7, 0xe9, 0xe5),
            muted: Rgb(0xa5, 0xb0, 0xb4),
            grid: Rgb(0x2d, 0x3a, 0x41),
            surface: Rgb(0x10, 0x18, 0x1e),
            panel: Rgb(0x17, 0x22, 0x28),
            kept: Rgb(0x22, 0x30, 0x3a),
            guide: Rgb(0x9f, 0xbd, 0xc9),
            series: DARK_SERIES,
        }
    }

    /// White paper, for printing.
    #[must_use]
    pub fn print() -> Self {
        Self {
            ink: Rgb(0, 0, 0),
            muted: Rgb(0x4a, 0x4f, 0x52),
            grid: Rgb(0xd8, 0xd8, 0xd8),
            surface: Rgb(0xff, 0xff, 0xff),
            panel: Rgb(0xf4, 0xf4, 0xf4),
            kept: Rgb(0xec, 0xec, 0xec),
            guide: Rgb(0x33, 0x47, 0x50),
            series: LIGHT_SERIES,
        }
    }

    /// The colour of a role.
    #[must_use]
    pub fn colour(&self, role: Role) -> Rgb {
        match role {
            Role::Ink => self.ink,
            Role::Muted => self.muted,
            Role::Grid => self.grid,
            Role::Surface => self.surface,
            Role::Panel => self.panel,
            Role::Kept => self.kept,
            Role::Guide => self.guide,
            Role::Series(id) => self.series[id.index()],
        }
    }

    fn variables(&self) -> String {
        Role::all().fold(String::new(), |mut out, role| {
            let _ = write!(out, "--{}:{};", role.name(), self.colour(role).hex());
            out
        })
    }
}

/// The style sheet that pages serve for figures made with classes.
///
/// It sets one variable per [`Role`] (`--ink`, `--series-1`, ...) for light, dark
/// (`prefers-color-scheme`, or `data-theme="dark"` / `"light"` on the root element, which wins)
/// and print, and the classes `fill-NAME` and `stroke-NAME`; for text outside a figure also
/// `ink`, `muted`, `guide` and `series-1` to `series-8`.
#[must_use]
pub fn css() -> String {
    let (light, dark, print) = (Theme::light(), Theme::dark(), Theme::print());
    let mut out = String::new();
    let mut line = |text: String| {
        out.push_str(&text);
        out.push('\n');
    };
    line(format!(":root{{color-scheme:light;{}}}", light.variables()));
    line("@media (prefers-color-scheme:dark){".to_owned());
    line(format!(
        ":root:not([data-theme=\"light\"]){{color-scheme:dark;{}}}",
        dark.variables()
    ));
    line("}".to_owned());
    line(format!(
        ":root[data-theme=\"dark\"]{{color-scheme:dark;{}}}",
        dark.variables()
    ));
    line("@media print{".to_owned());
    line(format!(
        ":root,:root[data-theme],:root:not([data-theme=\"light\"]){{color-scheme:light;{}}}",
        print.variables()
    ));
    line("}".to_owned());
    for role in Role::all() {
        let name = role.name();
        // Grounds are never text, and bare classes such as `grid` would catch parts of a page.
        if matches!(
            role,
            Role::Ink | Role::Muted | Role::Guide | Role::Series(_)
        ) {
            line(format!(".{name}{{color:var(--{name})}}"));
        }
        line(format!(
            ".fill-{name}{{fill:var(--{name})}}.stroke-{name}{{stroke:var(--{name})}}"
        ));
    }
    line("svg.chart{max-width:100%;height:auto}".to_owned());
    out
}
