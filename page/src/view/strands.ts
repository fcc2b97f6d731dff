// Hair on the screen: each computed hair is drawn as one or more fine ones, an instance each, whose nodes and light lie in
// textures. Light at the nodes is found in a pass of its own, once for a shape and an eye.
import {
  BufferAttribute, DataTexture, GLSL3, Group, HalfFloatType, InstancedBufferAttribute, InstancedBufferGeometry, LinearFilter, LineSegments, Mesh, NearestFilter, NoBlending, RawShaderMaterial,
  RGBAFormat, RGBAIntegerFormat, ShortType, Sphere, UnsignedByteType, Vector3, WebGLRenderTarget, type IUniform, type WebGLRenderer,
} from 'three'
import { hairFragment, hairVertex, nodeLight, wholeVertex } from './glsl'
import { alike, BESIDE } from './near'
import { drawWhole } from './whole'
import type { Seen } from './seen'
import { pack, reachOf, TEXTURE_WIDE, textureHigh } from './shapes'
import type { Space } from './space'

type Stride = 1 | 2 | 'wound'

export interface Detail {
  readonly each: number // fine hairs for each computed one
  readonly stride: 1 | 2 // 2: without the points between nodes
  readonly threads: boolean // as lines one pixel wide, which are half the work, or as ribbons with a width and a tip
}

export interface Strands {
  readonly mesh: Group
  readonly uniforms: Readonly<Record<'wide' | 'least' | 'spread' | 'stray' | 'round' | 'castLow' | 'castHigh' | 'onceLow' | 'onceHigh' | 'lengths' | 'paler' | 'palette' | 'ground', IUniform>>
  grow(lengths: Float32Array, beside: Int32Array): void // other roots
  neighbours(beside: Int32Array): void // other hairs that each may go with
  lengthen(lengths: Float32Array): void
  shape(at: Float32Array): void
  kin(at: Float32Array): void // finds anew which go together
  wind(coils: Float32Array | null): void // radius and radians a metre of the coil that each winds; null: none does
  tone(tone: Float32Array): void // two by hair: how wide, how pale
  detail(detail: Detail): void
  light(renderer: WebGLRenderer): void
  readonly hairs: number
}

const WOUND = 161 // points of a hair that winds

function ribbon(stride: Stride): { node: Float32Array; side: Float32Array; index: Uint16Array } {
  const points = stride === 'wound' ? WOUND : stride === 1 ? 31 : 16
  const node = new Float32Array(2 * points)
  const side = new Float32Array(2 * points)
  const index = new Uint16Array(6 * (points - 1))
  for (let k = 0; k < points; k++) {
    node[2 * k] = node[2 * k + 1] = (30 * k) / (points - 1)
    side[2 * k] = -1
    side[2 * k + 1] = 1
    if (k + 1 < points) index.set([2 * k, 2 * k + 1, 2 * k + 2, 2 * k + 2, 2 * k + 1, 2 * k + 3], 6 * k)
  }
  return { node, side, index }
}

function thread(stride: Stride): { node: Float32Array; side: Float32Array; index: Uint16Array } {
  const points = stride === 'wound' ? WOUND : stride === 1 ? 31 : 16
  const index = new Uint16Array(2 * (points - 1))
  for (let k = 0; k + 1 < points; k++) index.set([k, k + 1], 2 * k)
  return { node: Float32Array.from({ length: points }, (_, k) => (30 * k) / (points - 1)), side: new Float32Array(points), index }
}

const lot = (i: number): number => {
  let x = Math.imul(i ^ 0x9e3779b9, 0x7feb352d)
  x = Math.imul(x ^ (x >>> 15), 0x846ca68b)
  return ((x ^ (x >>> 16)) >>> 8) / 16777216
}

export function makeStrands(seen: Seen, space: Space): Strands {
  let hairs = 0
  let detail: Detail = { each: 1, stride: 2, threads: true }
  let beside = new Int32Array(0)
  let data = new Int16Array(4 * TEXTURE_WIDE)
  let kin = new Float32Array(0)
  const nodes: IUniform<DataTexture> = { value: nodeTexture(data, 1) }
  const reach = { value: 0.5 }
  let target = new WebGLRenderTarget(TEXTURE_WIDE / 4, 1)
  const light: IUniform = { value: target.texture }
  const centre = { value: new Vector3(0, 0.02, -0.01) }
  const uniforms = {
    wide: { value: 0.0003 }, least: { value: 0 }, spread: { value: 1 }, stray: { value: 1 }, round: { value: 0 }, ground: { value: -9 },
    castLow: { value: new Vector3() }, castHigh: { value: new Vector3() }, onceLow: { value: new Vector3() }, onceHigh: { value: new Vector3() },
    lengths: { value: new Vector3(0, 0, 1) }, paler: { value: new Vector3(0.5, 0.5, 0.5) }, palette: { value: null },
  }
  const own = { stride: { value: 2 }, each: { value: 1 } }
  const material = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: hairVertex,
    fragmentShader: hairFragment,
    uniforms: { ...seen.uniforms, ...uniforms, ...own, nodes, reach, light, centre },
    blending: NoBlending,
    side: 2,
  })
  const lighting = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: wholeVertex,
    fragmentShader: nodeLight,
    uniforms: { ...seen.uniforms, ...space.uniforms, nodes, reach, centre },
    blending: NoBlending,
    depthTest: false,
    depthWrite: false,
  })
  const shapes = { ribbon: { 1: ribbon(1), 2: ribbon(2), wound: ribbon('wound') }, thread: { 1: thread(1), 2: thread(2), wound: thread('wound') } }
  const attributes = { self: new Float32Array(0), beside: new Float32Array(0), tone: new Float32Array(0), coil: new Float32Array(0) }
  let winds = false
  const ribbons = new Mesh(new InstancedBufferGeometry(), material)
  const threads = new LineSegments(new InstancedBufferGeometry(), material)
  ribbons.frustumCulled = threads.frustumCulled = false
  const mesh = new Group()
  mesh.add(ribbons, threads)

  function rebuild(): void {
    const geometry = new InstancedBufferGeometry()
    const { node, side, index } = shapes[detail.threads ? 'thread' : 'ribbon'][winds ? 'wound' : detail.stride]
    geometry.setAttribute('node', new BufferAttribute(node, 1))
    geometry.setAttribute('side', new BufferAttribute(side, 1))
    geometry.setIndex(new BufferAttribute(index, 1))
    geometry.setAttribute('self', new InstancedBufferAttribute(attributes.self, 4, false, detail.each))
    geometry.setAttribute('beside', new InstancedBufferAttribute(attributes.beside, BESIDE, false, detail.each))
    geometry.setAttribute('tone', new InstancedBufferAttribute(attributes.tone, 2, false, detail.each))
    geometry.setAttribute('coil', new InstancedBufferAttribute(attributes.coil, 2, false, detail.each))
    geometry.instanceCount = hairs * detail.each
    geometry.boundingSphere = new Sphere(new Vector3(), 2)
    const drawn = detail.threads ? threads : ribbons
    ribbons.visible = drawn === ribbons
    threads.visible = drawn === threads
    drawn.geometry.dispose()
    drawn.geometry = geometry
    own.stride.value = winds ? 30 / (WOUND - 1) : detail.stride
    own.each.value = detail.each
  }
  const changed = (name: keyof typeof attributes): void => {
    const attribute = (detail.threads ? threads : ribbons).geometry.getAttribute(name)
    if (attribute) attribute.needsUpdate = true
  }

  return {
    mesh,
    uniforms,
    get hairs() {
      return hairs
    },
    grow(lengths, near) {
      hairs = lengths.length
      beside = near.slice()
      kin = new Float32Array(near.length)
      attributes.self = new Float32Array(4 * hairs)
      attributes.beside = new Float32Array(BESIDE * hairs)
      attributes.tone = new Float32Array(2 * hairs)
      attributes.coil = new Float32Array(2 * hairs)
      winds = false
      for (let i = 0; i < hairs; i++) {
        attributes.self[4 * i] = i
        attributes.self[4 * i + 1] = lot(i)
        attributes.self[4 * i + 2] = lot(100000 + Math.min(i, ...near.subarray(BESIDE * i, BESIDE * i + BESIDE).filter((j) => j >= 0)))
        attributes.self[4 * i + 3] = lengths[i] ?? 0
        attributes.tone[2 * i] = 1
        for (let k = 0; k < BESIDE; k++) attributes.beside[BESIDE * i + k] = i
      }
      const high = textureHigh(hairs)
      data = new Int16Array(4 * TEXTURE_WIDE * high)
      nodes.value.dispose()
      nodes.value = nodeTexture(data, high)
      target.dispose()
      target = new WebGLRenderTarget(TEXTURE_WIDE / 4, high, { format: RGBAFormat, type: HalfFloatType, minFilter: NearestFilter, magFilter: NearestFilter, depthBuffer: false })
      light.value = target.texture
      rebuild()
    },
    neighbours: (near) => void (beside = near.slice()),
    lengthen(lengths) {
      for (let i = 0; i < hairs; i++) attributes.self[4 * i + 3] = lengths[i] ?? 0
      changed('self')
    },
    shape(at) {
      reach.value = reachOf(at)
      pack(data, at, hairs, reach.value)
      nodes.value.needsUpdate = true
    },
    kin(at) {
      alike(kin, beside, at)
      attributes.beside.set(kin)
      changed('beside')
    },
    wind(coils) {
      const now = coils !== null && coils.length === 2 * hairs && coils.some((c) => c !== 0)
      if (!now && !winds) return
      if (now) attributes.coil.set(coils)
      else attributes.coil.fill(0)
      if (now === winds) return changed('coil')
      winds = now
      rebuild()
    },
    tone(tone) {
      attributes.tone.set(tone)
      changed('tone')
    },
    detail(next) {
      if (next.each === detail.each && next.stride === detail.stride && next.threads === detail.threads) return
      detail = { each: next.each, stride: next.stride, threads: next.threads }
      rebuild()
    },
    light: (renderer) => drawWhole(renderer, lighting, target),
  }
}

function nodeTexture(data: Int16Array, high: number): DataTexture {
  const made = new DataTexture(data, TEXTURE_WIDE, high, RGBAIntegerFormat, ShortType)
  made.internalFormat = 'RGBA16I'
  made.minFilter = made.magFilter = NearestFilter
  made.needsUpdate = true
  return made
}

export function paletteTexture(colours: Uint8Array, linear: (c: number) => number): DataTexture {
  const stops = colours.length / 3
  const data = new Uint8Array(4 * stops)
  for (let i = 0; i < stops; i++) for (let k = 0; k < 4; k++) data[4 * i + k] = k < 3 ? Math.round(255 * linear((colours[3 * i + k] ?? 0) / 255)) : 255
  const made = new DataTexture(data, stops, 1, RGBAFormat, UnsignedByteType)
  made.minFilter = made.magFilter = LinearFilter
  made.needsUpdate = true
  return made
}

