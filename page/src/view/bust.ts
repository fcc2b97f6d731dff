// The bust on the screen. Light at its vertices is found in a pass of its own, once for an eye and a shape of the hair.
import {
  BufferAttribute, BufferGeometry, Color, DataTexture, FloatType, GLSL3, HalfFloatType, Mesh, NearestFilter, NoBlending, RawShaderMaterial, RGBAFormat, Sphere, Vector3, WebGLRenderTarget,
  type IUniform, type WebGLRenderer,
} from 'three'
import type { Bust } from '../core/messages'
import { bustFragment, bustLight, bustVertex, wholeVertex } from './glsl'
import type { Seen } from './seen'
import type { Space } from './space'
import { drawWhole } from './whole'

export interface BustMesh {
  readonly mesh: Mesh
  readonly uniforms: { readonly roots: IUniform<Vector3>; readonly grown: IUniform<number> }
  set(bust: Bust): void
  light(renderer: WebGLRenderer): void
}

const WIDE = 256 // vertices in a row of the textures

// Each vertex's value becomes the mean of its neighbours' and its own.
export function smoothed(value: Float32Array, corners: Uint32Array): Float32Array {
  const sum = value.slice()
  const count = new Float32Array(value.length).fill(1)
  for (let i = 0; i < corners.length; i += 3)
    for (let k = 0; k < 3; k++) {
      const a = corners[i + k] ?? 0, b = corners[i + ((k + 1) % 3)] ?? 0
      sum[a] = (sum[a] ?? 0) + (value[b] ?? 0)
      count[a] = (count[a] ?? 0) + 1
    }
  return sum.map((s, i) => s / (count[i] ?? 1))
}

// Normals of the triangles themselves, averaged at the vertices by area. In lids, lips and the folds of an ear, which are finer
// than the triangles, the surface's own normals differ from vertex to vertex and would make spots.
export function facing(at: Float32Array, corners: Uint32Array): Float32Array {
  const out = new Float32Array(at.length)
  for (let i = 0; i < corners.length; i += 3) {
    const a = 3 * (corners[i] ?? 0), b = 3 * (corners[i + 1] ?? 0), c = 3 * (corners[i + 2] ?? 0)
    const ux = (at[b] ?? 0) - (at[a] ?? 0), uy = (at[b + 1] ?? 0) - (at[a + 1] ?? 0), uz = (at[b + 2] ?? 0) - (at[a + 2] ?? 0)
    const vx = (at[c] ?? 0) - (at[a] ?? 0), vy = (at[c + 1] ?? 0) - (at[a + 1] ?? 0), vz = (at[c + 2] ?? 0) - (at[a + 2] ?? 0)
    const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]
    for (const p of [a, b, c]) for (let k = 0; k < 3; k++) out[p + k] = (out[p + k] ?? 0) + (n[k] ?? 0)
  }
  for (let i = 0; i < out.length; i += 3) {
    const size = Math.hypot(out[i] ?? 0, out[i + 1] ?? 0, out[i + 2] ?? 0) || 1
    for (let k = 0; k < 3; k++) out[i + k] = (out[i + k] ?? 0) / size
  }
  return out
}

function floats(three: Float32Array, fourth: Float32Array | null, high: number): DataTexture {
  const data = new Float32Array(4 * WIDE * high)
  for (let i = 0; i < three.length / 3; i++) {
    data.set(three.subarray(3 * i, 3 * i + 3), 4 * i)
    data[4 * i + 3] = fourth?.[i] ?? 0
  }
  const made = new DataTexture(data, WIDE, high, RGBAFormat, FloatType)
  made.minFilter = made.magFilter = NearestFilter
  made.needsUpdate = true
  return made
}

export function makeBust(seen: Seen, space: Space): BustMesh {
  const uniforms = {
    skin: { value: new Color(0.56, 0.515, 0.468) },
    roots: { value: new Vector3(0.2, 0.17, 0.14) },
    grown: { value: 0 },
    ground: { value: -0.256 },
  }
  const options = { format: RGBAFormat, type: HalfFloatType, minFilter: NearestFilter, magFilter: NearestFilter, depthBuffer: false } as const
  let target = new WebGLRenderTarget(WIDE, 1, options)
  const light: IUniform = { value: target.texture }
  const points: IUniform<DataTexture | null> = { value: null }
  const normals: IUniform<DataTexture | null> = { value: null }
  const material = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: bustVertex,
    fragmentShader: bustFragment,
    uniforms: { ...seen.uniforms, ...uniforms, light },
    blending: NoBlending,
  })
  const lighting = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: wholeVertex,
    fragmentShader: bustLight,
    uniforms: { ...seen.uniforms, ...space.uniforms, points, normals },
    blending: NoBlending,
    depthTest: false,
    depthWrite: false,
  })
  const mesh = new Mesh(new BufferGeometry(), material)
  mesh.frustumCulled = false
  return {
    mesh,
    uniforms,
    light(renderer) {
      if (points.value) drawWhole(renderer, lighting, target)
    },
    set(bust) {
      const geometry = new BufferGeometry()
      let grown: Float32Array = Float32Array.from(bust.scalp)
      for (let i = 0; i < (bust.fine ? 3 : 1); i++) grown = smoothed(grown, bust.corners)
      geometry.setAttribute('position', new BufferAttribute(bust.at, 3))
      const normal = facing(bust.at, bust.corners)
      const open = smoothed(smoothed(bust.open, bust.corners), bust.corners)
      geometry.setAttribute('normal', new BufferAttribute(normal, 3))
      geometry.setAttribute('kind', new BufferAttribute(grown, 1))
      geometry.setIndex(new BufferAttribute(bust.corners, 1))
      geometry.boundingSphere = new Sphere(new Vector3(), 1)
      const high = Math.max(1, Math.ceil(grown.length / WIDE))
      points.value?.dispose()
      normals.value?.dispose()
      points.value = floats(bust.at, open, high)
      normals.value = floats(normal, null, high)
      target.dispose()
      target = new WebGLRenderTarget(WIDE, high, options)
      light.value = target.texture
      mesh.geometry.dispose()
      mesh.geometry = geometry
    },
  }
}
