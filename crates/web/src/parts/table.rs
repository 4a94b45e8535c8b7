//! Tables: a caption, headed columns, the first cell of each row its heading.

use maud::{Markup, Render, html};

/// One column.
#[derive(Debug, Clone, Copy)]
pub struct Column<'a> {
    label: &'a str,
    unit: &'a str,
    number: bool,
}

impl<'a> Column<'a> {
    /// A column of words.
    #[must_use]
    pub fn words(label: &'a str) -> Self {
        Self {
            label,
            unit: "",
            number: false,
        }
    }

    /// A column of numbers, set to the right with digits of equal width; `unit` may be empty.
    #[must_use]
    pub fn numbers(label: &'a str, unit: &'a str) -> Self {
        Self {
            label,
            unit,
            number: true,
        }
    }

    fn class(&self) -> Option<&'static str> {
        self.number.then_some("number")
    }
}

/// A table. Each row has one cell per column.
///
/// On a narrow screen the table scrolls sideways in its own frame; `stacked` sets each row as a
/// small list instead, which suits few rows with long cells.
#[derive(Debug, Clone)]
pub struct Table<'a> {
    caption: &'a str,
    columns: &'a [Column<'a>],
    rows: Vec<Vec<Markup>>,
    stacked: bool,
}

impl<'a> Table<'a> {
    /// A table without rows.
    #[must_use]
    pub fn new(caption: &'a str, columns: &'a [Column<'a>]) -> Self {
        Self {
            caption,
            columns,
            rows: Vec::new(),
            stacked: false,
        }
    }

    /// Adds a row of markup cells.
    #[must_use]
    pub fn row(mut self, cells: impl IntoIterator<Item = Markup>) -> Self {
        let row: Vec<Markup> = cells.into_iter().collect();
        debug_assert_eq!(row.len(), self.columns.len(), "one cell per column");
        self.rows.push(row);
        self
    }

    /// Adds a row of plain texts.
    #[must_use]
    pub fn text_row<'t>(self, cells: impl IntoIterator<Item = &'t str>) -> Self {
        self.row(cells.into_iter().map(|cell| html! { (cell) }))
    }

    /// Sets rows as small lists on narrow screens.
    #[must_use]
    pub fn stacked(self) -> Self {
        Self {
            stacked: true,
            ..self
        }
    }

    fn cells(&self, row: &[Markup]) -> Markup {
        html! {
            @for (at, (cell, column)) in row.iter().zip(self.columns).enumerate() {
                @if at == 0 {
                    th scope="row" class=[column.class()] { (cell) }
                } @else {
                    td class=[column.class()] data-label=[self.stacked.then_some(column.label)] { (cell) }
                }
            }
        }
    }
}

impl Render for Table<'_> {
    fn render(&self) -> Markup {
        html! {
            div.table-frame.table-stacked[self.stacked] tabindex="0" role="group" aria-label=(self.caption) {
                table {
                    caption { (self.caption) }
                    thead {
                        tr {
                            @for column in self.columns {
                                th scope="col" class=[column.class()] {
                                    (column.label)
                                    @if !column.unit.is_empty() { " " span.th-unit { (column.unit) } }
                                }
                            }
                        }
                    }
                    tbody { @for row in &self.rows { tr { (self.cells(row)) } } }
                }
            }
        }
    }
}
