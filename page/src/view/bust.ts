// The bust on the screen. Light at its vertices is found in a pass of its own, once for an eye and a shape of the hair.
import {
  BufferAttribute, BufferGeometry, Color, DataTexture, FloatType, GLSL3, HalfFloatType, Mesh, NearestFilter, NoBlending, RawShaderMaterial, RGBAFormat, Vector3, WebGLRenderTarget,
  type IUniform, type WebGLRenderer,
} from 'three'
import { SURFACE_WIDE, type Surface } from '../core/messages'
import { bustFragment, bustLight, bustVertex, wholeVertex } from './glsl'
import type { Seen } from './seen'
import type { Space } from './space'
import { drawWhole } from './whole'

export interface BustMesh {
  readonly mesh: Mesh
  readonly uniforms: { readonly roots: IUniform<Vector3>; readonly grown: IUniform<number> }
  set(surface: Surface): void
  light(renderer: WebGLRenderer): void
}

function floats(rows: Float32Array): DataTexture {
  const made = new DataTexture(rows, SURFACE_WIDE, rows.length / 4 / SURFACE_WIDE, RGBAFormat, FloatType)
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
  let target = new WebGLRenderTarget(SURFACE_WIDE, 1, options)
  const light: IUniform = { value: target.texture }
  const points: IUniform<DataTexture | null> = { value: null }
  const normals: IUniform<DataTexture | null> = { value: null }
  const material = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: bustVertex,
    fragmentShader: bustFragment,
    uniforms: { ...seen.uniforms, ...uniforms, light, points, normals },
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
    // Its shader takes vertices from the textures.
    set(surface) {
      const geometry = new BufferGeometry()
      geometry.setIndex(new BufferAttribute(surface.corners, 1))
      points.value?.dispose()
      normals.value?.dispose()
      points.value = floats(surface.points)
      normals.value = floats(surface.normals)
      target.dispose()
      target = new WebGLRenderTarget(SURFACE_WIDE, points.value.image.height, options)
      light.value = target.texture
      mesh.geometry.dispose()
      mesh.geometry = geometry
    },
  }
}
