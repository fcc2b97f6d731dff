// What the page and its worker say to each other. Lengths are metres, angles radians, the frame is the core's: x to the
// client's left, y up, z to the front.

export interface Ask {
  readonly kind: 'follow'
  readonly id: number // grows; the newest is the one that counts
  readonly plan: string // text of a plan file
  readonly hairs: number
  readonly fall: boolean // whether hair is to fall as well
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

export interface Fault {
  readonly id: number
  readonly text: string
  readonly line: number // 0: no place in the text
  readonly column: number
}

export type Answer =
  | { readonly kind: 'cut'; readonly cut: Cut }
  | { readonly kind: 'fall'; readonly fall: Fall }
  | { readonly kind: 'refused'; readonly fault: Fault }
  | { readonly kind: 'broken'; readonly text: string } // the core itself did not start
