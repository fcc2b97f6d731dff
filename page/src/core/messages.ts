// What the page and its worker say to each other. Lengths are metres, angles radians, the frame is the core's: x to the
// client's left, y up, z to the front.
import type { Table } from '../plan/table'

export interface Ask {
  readonly kind: 'follow'
  readonly id: number // grows; the newest is the one that counts
  readonly plan: string // text of a plan file
  readonly hairs: number
  readonly fall: boolean // whether hair is to fall as well
}

// What else the page shows of the cut.
export interface Want {
  readonly kind: 'want'
  readonly held: 'none' | 'all' | number // hair as it was held: of all panels, or of one, by its index
  readonly step: number // whose panels are outlined, counted from 1; 0 none
  readonly uncut: boolean // whether hair is to fall uncut as well
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

export interface Warning {
  readonly text: string
  readonly remedy: string
  readonly step: number // 0: none in particular
  readonly panel: number
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
  readonly warnings: readonly Warning[]
  readonly took: number // milliseconds in the core
}

// Hair as it lies: row i grows from root i.
export interface Fall {
  readonly id: number
  readonly nodes: number
  readonly at: Float32Array // x, y, z by hair and node
  readonly notAtRest: number
  readonly finished: boolean // false: coarse, and a finer one follows
  readonly took: number
}

// The bust of a head: triangles, and its signed distance on a grid, x fastest, then y.
export interface Bust {
  readonly head: number
  readonly fine: boolean // false: coarse, and a finer one follows
  readonly at: Float32Array
  readonly normals: Float32Array
  readonly corners: Uint32Array
  readonly scalp: Uint8Array // by vertex: 1 where hair can grow
  readonly open: Float32Array // by vertex: 0 in a crease to 1 on its own
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

export type Answer =
  | { readonly kind: 'table'; readonly table: Table } // once, first of all
  | { readonly kind: 'words'; readonly id: number; readonly words: Words }
  | { readonly kind: 'cut'; readonly cut: Cut }
  | { readonly kind: 'fall'; readonly fall: Fall }
  | { readonly kind: 'refused'; readonly fault: Fault }
  | { readonly kind: 'bust'; readonly bust: Bust }
  | { readonly kind: 'measured'; readonly measured: Measured }
  | { readonly kind: 'held'; readonly held: Held }
  | { readonly kind: 'lines'; readonly lines: Lines }
  | { readonly kind: 'uncut'; readonly fall: Fall }
  | { readonly kind: 'broken'; readonly text: string } // the core itself did not start
