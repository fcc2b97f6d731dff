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

function floats(three: Float32Array, fourth: Float32Array | null, high: number): DataTexture {
  const data = new Float32Array(4 * WIDE * high)
  for (let i = 0; i < three.length / 3; i++) {
    for (let c = 0; c < 3; c++) data[4 * i + c] = three[3 * i + c] ?? 0
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
      geometry.setAttribute('position', new BufferAttribute(bust.at, 3))
      geometry.setAttribute('normal', new BufferAttribute(bust.normals, 3))
      geometry.setAttribute('kind', new BufferAttribute(bust.grown, 1))
      geometry.setIndex(new BufferAttribute(bust.corners, 1))
      geometry.boundingSphere = new Sphere(new Vector3(), 1)
      const high = Math.max(1, Math.ceil(bust.grown.length / WIDE))
      points.value?.dispose()
      normals.value?.dispose()
      points.value = floats(bust.at, bust.open, high)
      normals.value = floats(bust.normals, null, high)
      target.dispose()
      target = new WebGLRenderTarget(WIDE, high, options)
      light.value = target.texture
      mesh.geometry.dispose()
      mesh.geometry = geometry
    },
  }
}
