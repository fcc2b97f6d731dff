// What the page and its worker say to each other. Lengths are metres, angles radians, the frame is the core's: x to the
// client's left, y up, z to the front.
import type { Table } from '../plan/table'
import type { Value } from '../state/plan'
import type { Band } from '../state/store'

export interface Ask {
  readonly kind: 'follow'
  readonly id: number // grows; the newest is the one that counts
  readonly plan: string // text of a plan file
  readonly hairs: number
}

// What else the page shows of the cut.
// A cut whose hair is to fall.
export interface Let {
  readonly kind: 'let'
  readonly id: number // of the ask
  readonly plan: string
  readonly hairs: number
  readonly lengths: Float32Array // by root, after the cut
  readonly long: boolean // none has fallen for long: the first part may take a moment though a newer ask comes
}

// Where the newest ask's id stands, for who works so long that messages wait.
export interface Watch {
  readonly kind: 'watch'
  readonly asked: Int32Array
}

export interface Want {
  readonly kind: 'want'
  readonly held: 'none' | 'all' | number // hair as it was held: of all panels, or of one, by its index
  readonly step: number // whose panels are outlined, counted from 1; 0 none
  readonly uncut: boolean // whether hair is to fall uncut as well
}

// Lengths are on the screen: now what goes with them.
export interface More {
  readonly kind: 'more'
}

export type Vec3 = readonly [number, number, number]

// One cut of the hand: lw_panel in lengthwise.h says what each is.
export interface Panel {
  readonly step: number // counts from 1, as panel does
  readonly panel: number
  readonly anchor: Vec3
  readonly normal: Vec3
  readonly place: Vec3
  readonly direction: Vec3
  readonly parting: Vec3
  readonly finger: Vec3
  readonly follows: boolean
  readonly line: Float64Array // s, t, s, t …
  readonly placeNormal: Vec3 // the scalp's where it is held
  readonly elevation: number
  readonly carry: number
  readonly factor: number // dry, straightened length / length in the hand
  readonly section: number // into sectionNames
  readonly hairs: number
  readonly cut: number
  readonly lineLength: number
  readonly guide: number // into panels; -1 a length or another step
  readonly whole: number
  readonly bite: number
  readonly bites: number
}

// Where a place lies that the plan names; `which` counts the plan's partings or steps from 0, `nth` the places of one.
export interface Place {
  readonly of: 'parting' | 'hold' | 'guide' | 'pivot'
  readonly which: number
  readonly nth: number
  readonly at: Vec3
}

export interface Landmark {
  readonly name: string
  readonly at: Vec3
  readonly length: number
}

// What a plan makes of the hair. Arrays by hair.
export interface Cut {
  readonly id: number // of the ask
  readonly plan: string
  readonly hairs: number
  readonly roots: Float32Array // x, y, z
  readonly normals: Float32Array
  readonly lengths: Float32Array
  readonly before: Float32Array
  readonly sections: Int16Array // into sectionNames
  readonly setBy: Int32Array // into panels, -1 none
  readonly sectionNames: readonly string[]
  readonly panels: readonly Panel[]
  readonly landmarks: readonly Landmark[]
  readonly places: readonly Place[]
  readonly head: number // how many heads there have been, this one's included
  readonly took: number // milliseconds in the core
}

// What is shown beside a cut, as far as it is wanted.
export interface Beside {
  readonly lines: readonly Lines[]
  readonly held: Held | null // null: as it was
}

// Hair as it lies: row i grows from root i.
export interface Fall {
  readonly id: number
  readonly nodes: number
  readonly at: Float32Array // x, y, z by hair and node
  readonly lengths: Float32Array // of the cut that fell, by hair
  readonly coils: Float32Array | null // radius and radians a metre, by hair: curl too tight for the nodes, which are its middle line
  readonly notAtRest: number
  readonly finished: boolean // false: coarse, and a finer one follows
  readonly took: number
}

// A head's bust as triangles, laid out as a graphics processor takes it: rows of four by vertex, as many as fill a texture of
// SURFACE_WIDE to a row; those beyond the last vertex are 0.
export interface Surface {
  readonly head: number
  readonly points: Float32Array // x, y, z; 0 in a crease to 1 on its own
  readonly normals: Float32Array // x, y, z; 1 where hair can grow, 0 where it cannot, soft at the hairline
  readonly corners: Uint32Array
}

export const SURFACE_WIDE = 256

// The bust, and its signed distance on a grid, x fastest, then y.
export interface Bust extends Surface {
  readonly field: Field
  readonly colours: Uint8Array // of a length map, evenly from short to long: red, green, blue
}

export interface Field {
  readonly low: Vec3
  readonly cell: number
  readonly size: Vec3 // points each way
  readonly values: Float32Array
}

// What a tape reads on this head, and where it lies when it does.
export interface Measure {
  readonly name: string // as plans write it
  readonly length: number
  readonly tape: Float32Array // x, y, z from end to end
}

export interface Measured {
  readonly head: number
  readonly measures: readonly Measure[]
}

// Hair as it was held; NaN where it was not, or not asked for.
export interface Held {
  readonly id: number // of the cut
  readonly panel: number // -1 all
  readonly nodes: number
  readonly at: Float32Array
}

// Lines on the scalp, of short pieces, each with the labels at its two sides: sections, or a step's panels; -1 none.
export interface Lines {
  readonly id: number
  readonly step: number // from 1; 0 the sections
  readonly at: Float32Array
  readonly beside: Int32Array
}

export interface Fault {
  readonly id: number
  readonly text: string // place, message and remedy in one
  readonly place: string // "steps[0].hold.elevation", or the name of a step, part or measure
  readonly message: string
  readonly remedy: string
  readonly line: number // 0: no place in the text
  readonly column: number
}

// A piece of a sentence; with a field, what that field of the plan chose: "steps[].hold.elevation".
export interface Run {
  readonly text: string
  readonly field?: string
}

// A plan in sentences (put_words in src/tell/tell_json.h).
export interface Words {
  readonly partings: readonly (readonly Run[])[] // one for each part that is divided: a mirrored parting has two
  readonly steps: readonly { readonly name: string; readonly says: readonly Run[]; readonly caution: string }[]
  readonly cautions: readonly string[]
}

// ---- what the cut reads as: tell_json.h, and docs/model.md for each field. Metres; null where there is no hair. ----

export interface Edit {
  readonly path: readonly (string | number)[]
  readonly value: Value // null takes it out
}

export interface Warned {
  readonly code: string
  readonly step: number // counts from 1; 0: none in particular
  readonly panel: number
  readonly section: string
  readonly says: string // in the plan's unit
  readonly remedy: string
  readonly edits: readonly Edit[] | null // what a machine can do about it
}

export interface Spread {
  readonly mean: number | null
  readonly low: number | null // 5th percentile by hairs
  readonly high: number | null // 95th
}

export interface SectionRead extends Spread {
  readonly name: string
  readonly leaf: boolean
  readonly touched: boolean
  readonly area: number
  readonly hairs: number
  readonly balance: number | null
}

export interface BandRead {
  readonly name: string
  readonly shape: string // '' where there is none
  readonly from: number | null
  readonly centre: number | null
  readonly to: number | null
  readonly gain: number | null
}

export interface StripRead {
  readonly name: string
  readonly profile: string
  readonly bottom: number | null
  readonly top: number | null
  readonly slope: number | null
}

export interface StepAt {
  readonly step: number | null
  readonly at: Vec3
  readonly near: string
}

export interface Reading {
  readonly landmarks: readonly { readonly name: string; readonly position: Vec3; readonly length: number | null; readonly lies: number | null }[]
  readonly sections: readonly SectionRead[]
  readonly readings: {
    readonly all: Spread & { readonly hairs: number }
    readonly bands: readonly BandRead[]
    readonly strips: readonly StripRead[]
    readonly balance: { readonly mean: number | null; readonly worst: number | null; readonly at: Vec3; readonly near: string }
    readonly cross_check: { readonly within: StepAt; readonly between: StepAt }
    readonly removed: { readonly hairs: number; readonly mass: number }
    readonly panels: number
    readonly cuts: number
    readonly minutes: number
  }
  readonly leaves: readonly string[] // of each step, in words
  readonly warnings: readonly Warned[]
}

// Lengths along a line that was drawn: page_band.
export interface LineRead {
  readonly kind: 'between' | 'level' | 'upright'
  readonly way: number
  readonly shape: string
  readonly profile: string
  readonly slope: number | null
  readonly from: number | null
  readonly centre: number | null
  readonly to: number | null
  readonly gain: number | null
  readonly points: readonly (readonly [number, number, number, number, number])[] // x, y, z, metres along, length
}

export interface SideFallen {
  readonly side: 'front' | 'left' | 'back' | 'right'
  readonly hairs: number
  readonly perimeter: number | null
  readonly perimeter_words: string
  readonly weight: number | null // height of the weight line
  readonly weight_words: string
  readonly piled: number | null
  readonly sharpness: number | null
  readonly sharpness_word: string
}

export interface AroundFallen {
  readonly bearing: number
  readonly hairs: number
  readonly perimeter: number | null
  readonly perimeter_far: number | null
  readonly over: string
  readonly weight: number | null
  readonly weight_far: number | null
  readonly piled: number | null
  readonly sharpness: number | null
}

// The shape of hair at rest.
export interface Fallen {
  readonly strands: number
  readonly not_at_rest: number
  readonly sides: readonly SideFallen[]
  readonly width: { readonly breadth: number | null; readonly height: number | null }
  readonly depth: { readonly breadth: number | null; readonly height: number | null }
  readonly levels: Readonly<Record<string, number | null>>
  readonly ends: readonly { readonly below: string; readonly above: string; readonly share: number }[]
  readonly standing: number
  readonly thickness: number | null
  readonly around: readonly AroundFallen[]
  readonly outlines: Readonly<Record<'front' | 'back' | 'left' | 'right' | 'above', readonly Vec3[]>>
  readonly bust: Readonly<Record<'front' | 'back' | 'left' | 'right' | 'above', readonly Vec3[]>>
}

// What the reader is asked: it carries the plan out once more, in its own time.
export interface Read {
  readonly kind: 'read'
  readonly id: number // of the ask
  readonly plan: string
  readonly hairs: number
  readonly head: number // of the cut
}

export interface ReadLine {
  readonly kind: 'line'
  readonly band: Band | null
}

export type Told =
  | { readonly kind: 'finer'; readonly surface: Surface } // the bust's
  | { readonly kind: 'reading'; readonly id: number; readonly reading: Reading }
  | { readonly kind: 'line'; readonly line: LineRead | null }

export type Answer =
  | { readonly kind: 'table'; readonly table: Table } // once, first of all
  | { readonly kind: 'words'; readonly id: number; readonly words: Words }
  | { readonly kind: 'fallen'; readonly id: number; readonly fallen: Fallen }
  | { readonly kind: 'cut'; readonly cut: Cut; readonly held: Held | null }
  | { readonly kind: 'beside'; readonly beside: Beside } // of the newest cut
  | { readonly kind: 'fall'; readonly fall: Fall }
  | { readonly kind: 'refused'; readonly fault: Fault }
  | { readonly kind: 'bust'; readonly bust: Bust }
  | { readonly kind: 'measured'; readonly measured: Measured }
  | { readonly kind: 'uncut'; readonly fall: Fall }
  | { readonly kind: 'broken'; readonly text: string } // the core itself did not start
