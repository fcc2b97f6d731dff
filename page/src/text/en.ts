// Every text of the page, by the part of it that says it. Another language is another file like this one. What names fields,
// landmarks, steps and warnings comes from the core's own tables.
export const en = {
  shell: {
    name: 'lengthwise',
    untitled: 'Cut without a title',
    undo: 'Undo',
    redo: 'Redo',
    undoOf: (what: string) => `Undo: ${what}`,
    redoOf: (what: string) => `Redo: ${what}`,
    head: 'The head',
    plan: 'The plan',
    readings: 'What it leaves',
    play: 'Watch the cut',
    paper: 'On paper',
    book: 'The book',
    working: 'Working out the cut',
    broken: (why: string) => `The part that computes did not start: ${why}. Load the page again; if that does not help, use a newer browser.`,
    opened: 'Opened',
  },
  view: {},
  plan: {},
  readings: {},
  play: {},
  book: {},
  paper: {},
  walk: {},
}

export type Text = typeof en
