//! Scenes as SVG text: presentation attributes and classes only, no style attribute or element.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::fonts::FONT_FAMILY;
use crate::num::coord;
use crate::scene::{
    Anchor, Group, ImageMark, ImageSource, Item, Mark, Paint, Scene, Seg, Shape, Stroke, TextMark,
    face_attributes, leads,
};
use crate::theme::{Role, Theme};

/// How colours are written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Colours<'a> {
    /// As classes `fill-NAME` and `stroke-NAME`, coloured by the page with [`crate::css`].
    Classes,
    /// As attributes with the colours of a theme, for files that stand alone.
    Theme(&'a Theme),
}

/// How an SVG is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SvgOptions<'a> {
    /// Start of the ids in this figure; must differ between the figures of one page.
    pub id_prefix: &'a str,
    /// How colours are written.
    pub colours: Colours<'a>,
    /// Paint the whole figure with the surface colour first.
    pub ground: bool,
}

impl<'a> SvgOptions<'a> {
    /// For a page that serves [`crate::css`].
    #[must_use]
    pub fn page(id_prefix: &'a str) -> Self {
        Self {
            id_prefix,
            colours: Colours::Classes,
            ground: false,
        }
    }

    /// For a file that stands alone.
    #[must_use]
    pub fn file(id_prefix: &'a str, theme: &'a Theme) -> Self {
        Self {
            id_prefix,
            colours: Colours::Theme(theme),
            ground: true,
        }
    }
}

/// Escapes text for XML content and double-quoted attributes.
///
/// Characters that XML 1.0 forbids (most control characters) are left out.
#[must_use]
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\r' | '\t' => out.push(' '),
            c if (c as u32) < 0x20 || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => out.push(c),
        }
    }
    out
}

impl Scene {
    /// The figure as SVG text, the same on every machine.
    ///
    /// Marks with a coordinate that is not finite are left out.
    #[must_use]
    pub fn to_svg(&self, options: &SvgOptions<'_>) -> String {
        let id: String = options
            .id_prefix
            .chars()
            .map(|c| {
                if c.is_ascii_alphanumeric() || c == '-' {
                    c
                } else {
                    '-'
                }
            })
            .collect();
        let mut w = Writer {
            out: String::new(),
            colours: options.colours,
        };
        let (width, height) = (coord(self.width), coord(self.height));
        let described = !self.description.is_empty();
        let labelled = if described {
            format!("{id}-title {id}-desc")
        } else {
            format!("{id}-title")
        };
        // What has the role of an image hides its links from screen readers.
        let role = if leads(&self.items) { "group" } else { "img" };
        w.line(&format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"chart\" width=\"{width}\" \
             height=\"{height}\" viewBox=\"0 0 {width} {height}\" role=\"{role}\" \
             aria-labelledby=\"{labelled}\" font-family=\"{FONT_FAMILY}, sans-serif\">"
        ));
        w.line(&format!(
            "<title id=\"{id}-title\">{}</title>",
            escape(&self.title)
        ));
        if described {
            w.line(&format!(
                "<desc id=\"{id}-desc\">{}</desc>",
                escape(&self.description)
            ));
        }
        if options.ground {
            let shape = Shape::Rect {
                x: 0.0,
                y: 0.0,
                w: self.width,
                h: self.height,
                r: 0.0,
            };
            w.mark(&Mark::filled(shape, Role::Surface));
        }
        w.items(&self.items);
        w.line("</svg>");
        w.out
    }
}

struct Writer<'a> {
    out: String,
    colours: Colours<'a>,
}

impl Writer<'_> {
    fn line(&mut self, text: &str) {
        self.out.push_str(text);
        self.out.push('\n');
    }

    fn items(&mut self, items: &[Item]) {
        for item in items {
            match item {
                Item::Mark(mark) => self.mark(mark),
                Item::Text(text) => self.text(text),
                Item::Image(image) => self.image(image),
                Item::Group(group) => self.group(group),
            }
        }
    }

    fn group(&mut self, group: &Group) {
        let (x, y) = group.shift;
        if !(x.is_finite() && y.is_finite() && group.scale.is_finite()) {
            return;
        }
        let mut transform = String::new();
        if (x, y) != (0.0, 0.0) {
            transform = format!("translate({} {})", coord(x), coord(y));
        }
        if group.scale != 1.0 {
            // Four decimals: two would show as a shift at the far edge of a large frame.
            let scale = format!("{:.4}", group.scale);
            transform.push_str(&format!(" scale({scale})"));
        }
        let mut opening = match &group.href {
            Some(href) => format!("<a href=\"{}\"", escape(href)),
            None => "<g".to_owned(),
        };
        if !transform.is_empty() {
            opening.push_str(&format!(" transform=\"{}\"", transform.trim()));
        }
        opening.push('>');
        self.line(&opening);
        if let Some(tip) = &group.tip {
            self.line(&format!("<title>{}</title>", escape(tip)));
        }
        self.items(&group.items);
        self.line(if group.href.is_some() { "</a>" } else { "</g>" });
    }

    fn mark(&mut self, mark: &Mark) {
        let Some((name, geometry)) = geometry(&mark.shape) else {
            return;
        };
        let paint = self.paint(mark.fill, mark.stroke.as_ref());
        match &mark.tip {
            Some(tip) => {
                let tip = escape(tip);
                self.line(&format!(
                    "<{name}{geometry}{paint}><title>{tip}</title></{name}>"
                ));
            }
            None => self.line(&format!("<{name}{geometry}{paint}/>")),
        }
    }

    fn paint(&self, fill: Option<Paint>, stroke: Option<&Stroke>) -> String {
        let mut classes: Vec<String> = Vec::new();
        let mut out = String::new();
        match fill {
            None => out.push_str(" fill=\"none\""),
            Some(paint) => out.push_str(&self.one_paint("fill", paint, &mut classes)),
        }
        if let Some(stroke) = stroke {
            out.push_str(&self.one_paint("stroke", stroke.paint, &mut classes));
            out.push_str(&format!(" stroke-width=\"{}\"", coord(stroke.width)));
            if !stroke.dash.is_empty() {
                let dash: Vec<String> = stroke.dash.iter().map(|d| coord(*d)).collect();
                out.push_str(&format!(" stroke-dasharray=\"{}\"", dash.join(" ")));
            }
            if stroke.round {
                out.push_str(" stroke-linecap=\"round\" stroke-linejoin=\"round\"");
            }
        }
        if classes.is_empty() {
            out
        } else {
            format!(" class=\"{}\"{out}", classes.join(" "))
        }
    }

    fn one_paint(&self, what: &str, paint: Paint, classes: &mut Vec<String>) -> String {
        let opacity = if paint.opacity < 1.0 {
            format!(" {what}-opacity=\"{}\"", coord(paint.opacity))
        } else {
            String::new()
        };
        match self.colours {
            Colours::Classes => {
                classes.push(format!("{what}-{}", paint.role.name()));
                opacity
            }
            Colours::Theme(theme) => {
                format!(" {what}=\"{}\"{opacity}", theme.colour(paint.role).hex())
            }
        }
    }

    fn text(&mut self, text: &TextMark) {
        if !(text.x.is_finite() && text.y.is_finite()) || text.text.is_empty() {
            return;
        }
        if text.halo {
            // The rim is its own element below the letters: `paint-order` is not drawn everywhere.
            let rim = Stroke::new(Role::Surface, text.size * 0.28).rounded();
            let paint = self.paint(Some(Role::Surface.into()), Some(&rim));
            self.letters(text, &format!("{paint} aria-hidden=\"true\""));
        }
        let paint = self.paint(Some(text.role.into()), None);
        self.letters(text, &paint);
    }

    fn letters(&mut self, text: &TextMark, paint: &str) {
        let anchor = match text.anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let (x, y, size) = (coord(text.x), coord(text.y), coord(text.size));
        let place = format!(" x=\"{x}\" y=\"{y}\" font-size=\"{size}\"{anchor}");
        let body = match text.text.runs.as_slice() {
            [run] => {
                let face = face_attributes(run.face);
                format!("<text{place}{face}{paint}>{}</text>", escape(&run.text))
            }
            runs => {
                let runs: String = runs
                    .iter()
                    .map(|r| {
                        format!(
                            "<tspan{}>{}</tspan>",
                            face_attributes(r.face),
                            escape(&r.text)
                        )
                    })
                    .collect();
                format!("<text{place}{paint}>{runs}</text>")
            }
        };
        self.line(&body);
    }

    fn image(&mut self, image: &ImageMark) {
        if ![image.x, image.y, image.w, image.h]
            .iter()
            .all(|v| v.is_finite())
        {
            return;
        }
        let href = match &image.source {
            ImageSource::Jpeg(bytes) => {
                format!("data:image/jpeg;base64,{}", STANDARD.encode(bytes))
            }
            ImageSource::Png(bytes) => format!("data:image/png;base64,{}", STANDARD.encode(bytes)),
            ImageSource::Link(address) => escape(address),
            ImageSource::Missing(words) => {
                let group = Group::new(image.placeholder(words)).with_tip(image.alt.clone());
                return self.group(&group);
            }
        };
        let fit = if image.crop {
            "xMidYMid slice"
        } else {
            "xMidYMid meet"
        };
        let (x, y, w, h) = (
            coord(image.x),
            coord(image.y),
            coord(image.w),
            coord(image.h),
        );
        self.line(&format!(
            "<image x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" \
             preserveAspectRatio=\"{fit}\" href=\"{href}\"><title>{}</title></image>",
            escape(&image.alt)
        ));
    }
}

/// Element name and attributes of a shape; nothing when a number is not finite.
fn geometry(shape: &Shape) -> Option<(&'static str, String)> {
    let finite = |values: &[f64]| values.iter().all(|v| v.is_finite());
    match shape {
        Shape::Rect { x, y, w, h, r } => {
            // A negative width is an error in SVG; the mark is drawn the right way round instead.
            let (x, w) = if *w < 0.0 { (x + w, -w) } else { (*x, *w) };
            let (y, h) = if *h < 0.0 { (y + h, -h) } else { (*y, *h) };
            let round = if *r > 0.0 {
                format!(" rx=\"{}\"", coord(*r))
            } else {
                String::new()
            };
            let (cx, cy, cw, ch) = (coord(x), coord(y), coord(w), coord(h));
            finite(&[x, y, w, h]).then(|| {
                (
                    "rect",
                    format!(" x=\"{cx}\" y=\"{cy}\" width=\"{cw}\" height=\"{ch}\"{round}"),
                )
            })
        }
        Shape::Circle { x, y, r } => finite(&[*x, *y, *r]).then(|| {
            (
                "circle",
                format!(
                    " cx=\"{}\" cy=\"{}\" r=\"{}\"",
                    coord(*x),
                    coord(*y),
                    coord(*r)
                ),
            )
        }),
        Shape::Line { from, to } => finite(&[from.0, from.1, to.0, to.1]).then(|| {
            let [x1, y1, x2, y2] = [from.0, from.1, to.0, to.1].map(coord);
            (
                "line",
                format!(" x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\""),
            )
        }),
        Shape::Path(segs) => path_data(segs).map(|d| ("path", format!(" d=\"{d}\""))),
    }
}

fn path_data(segs: &[Seg]) -> Option<String> {
    let mut d = String::new();
    for seg in segs {
        let (letter, points): (char, &[(f64, f64)]) = match seg {
            Seg::Move(x, y) => ('M', &[(*x, *y)]),
            Seg::Line(x, y) => ('L', &[(*x, *y)]),
            Seg::By(x, y) => ('l', &[(*x, *y)]),
            Seg::Cubic(points) => ('C', points),
            Seg::Close => ('Z', &[]),
        };
        d.push(letter);
        for (i, (x, y)) in points.iter().enumerate() {
            if !(x.is_finite() && y.is_finite()) {
                return None;
            }
            if i > 0 {
                d.push(' ');
            }
            let (x, y) = (coord(*x), coord(*y));
            d.push_str(&x);
            // A minus parts two numbers by itself.
            if letter != 'l' || !y.starts_with('-') {
                d.push(' ');
            }
            d.push_str(&y);
        }
    }
    (!d.is_empty()).then_some(d)
}
