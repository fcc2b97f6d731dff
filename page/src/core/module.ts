// The core as JavaScript sees it: handles, counts and addresses. src/wasm/page.h says what each function means; nothing
// outside src/core/ of the page calls them.

export interface Exports {
  readonly memory: WebAssembly.Memory
  _initialize(): void
  page_new(): number
  page_text(page: number, size: number): number
  page_predict(page: number, hairs: number, seed: number): number
  page_give(page: number, hairs: number, seed: number): number
  page_given(page: number): number
  page_fields(page: number): number
  page_sentences(page: number): number
  page_reading(page: number): number
  page_fallen(page: number): number
  page_band(page: number, kind: number, ax: number, ay: number, az: number, bx: number, by: number, bz: number): number
  page_error(page: number): number
  page_error_place(page: number): number
  page_error_message(page: number): number
  page_error_remedy(page: number): number
  page_error_line(page: number): number
  page_error_column(page: number): number
  page_fall(page: number, nodes: number, packings: number, parts: number): number
  page_fall_left(page: number): number
  page_fall_lift(page: number): void
  page_fall_hairs(page: number): number
  page_fall_nodes(page: number): number
  page_fall_at(page: number): number
  page_fall_not_at_rest(page: number): number
  page_measure_count(): number
  page_measure_name(i: number): number
  page_measure(page: number, i: number): number
  page_tape(page: number, i: number): number
  page_tape_at(page: number): number
  page_hairs(page: number): number
  page_roots(page: number): number
  page_normals(page: number): number
  page_lengths(page: number): number
  page_before(page: number): number
  page_sections(page: number): number
  page_set_by(page: number): number
  page_section_count(page: number): number
  page_section_name(page: number, i: number): number
  page_panel_count(page: number): number
  page_panel_columns(): number
  page_panels(page: number): number
  page_lines(page: number): number
  page_landmark_count(): number
  page_landmark_name(i: number): number
  page_landmarks(page: number): number
  page_head_number(page: number): number
  page_bust(page: number, cell: number, foot: number): number
  page_bust_vertices(page: number): number
  page_bust_triangles(page: number): number
  page_bust_at(page: number): number
  page_bust_corners(page: number): number
  page_bust_scalp(page: number): number
  page_bust_open(page: number): number
  page_bust_field(page: number, x: number, y: number, z: number, cell: number, wide: number, high: number, deep: number): number
  page_colour_count(): number
  page_colours(): number
  page_held(page: number, nodes: number, panel: number): number
  page_fall_coils(page: number): number
  page_hold_columns(): number
  page_holds(page: number): number
  page_place_columns(): number
  page_places(page: number): number
  page_place_count(page: number): number
  page_outline(page: number, step: number): number
  page_outline_count(page: number): number
  page_outline_at(page: number): number
  page_outline_beside(page: number): number
}

type Numbers = Float64Array | Float32Array | Int32Array | Int16Array | Uint8Array

export interface Module {
  readonly api: Exports
  readonly page: number // one plan and its prediction
  text(address: number): string // a zero-terminated text
  // Numbers at an address, as they lie: valid until the next call, since memory can move.
  look<T extends Numbers>(Type: new (buffer: ArrayBufferLike, offset: number, count: number) => T, address: number, count: number): T
  write(plan: string): void // hands over the text of a plan
  on(page: number): Module // the same core, another page
}

// goesOn is asked every few milliseconds while hair falls or is read; where it says no, the rest is left undone.
export async function load(source: BufferSource | Response | Promise<Response>, goesOn: () => boolean = () => true): Promise<Module> {
  const given = { page: { goes_on: () => Number(goesOn()) } }
  const made =
    source instanceof Promise || source instanceof Response
      ? await WebAssembly.instantiateStreaming(source, given)
      : await WebAssembly.instantiate(source, given)
  const api = made.instance.exports as unknown as Exports
  api._initialize()
  const page = api.page_new()
  if (!page) throw new Error('not enough memory')
  const decoder = new TextDecoder()
  const encoder = new TextEncoder()
  const on = (page: number): Module => ({
    api,
    page,
    on,
    text(address) {
      const bytes = new Uint8Array(api.memory.buffer, address)
      return decoder.decode(bytes.subarray(0, bytes.indexOf(0)))
    },
    look: (Type, address, count) => new Type(api.memory.buffer, address, count),
    write(plan) {
      const bytes = encoder.encode(plan)
      const address = api.page_text(page, bytes.length)
      if (!address) throw new Error('not enough memory')
      new Uint8Array(api.memory.buffer, address, bytes.length).set(bytes)
    },
  })
  return on(page)
}

export function timed(work: () => number): { status: number; took: number } {
  const began = performance.now()
  const status = work()
  return { status, took: performance.now() - began }
}
