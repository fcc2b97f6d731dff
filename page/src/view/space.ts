// The grid of hair and head as a texture, and what shaders are told of it.
import { ClampToEdgeWrapping, Data3DTexture, LinearFilter, RGFormat, UnsignedByteType, Vector3, type IUniform } from 'three'
import type { Field } from '../core/messages'
import { hairInto, solidInto } from './air'

export interface Space {
  readonly uniforms: Readonly<Record<'air' | 'airLow' | 'airSize', IUniform>>
  head(field: Field): void
  hair(at: Float32Array | null, hairs: number, each: number): void
}

export function makeSpace(): Space {
  let data = new Uint8Array([0, 255])
  let field: Field | null = null
  const texture = (wide: number, high: number, deep: number): Data3DTexture => {
    const made = new Data3DTexture(data, wide, high, deep)
    made.format = RGFormat
    made.type = UnsignedByteType
    made.minFilter = made.magFilter = LinearFilter
    made.wrapS = made.wrapT = made.wrapR = ClampToEdgeWrapping
    made.unpackAlignment = 1
    made.needsUpdate = true
    return made
  }
  const uniforms = { air: { value: texture(1, 1, 1) }, airLow: { value: new Vector3() }, airSize: { value: new Vector3(1, 1, 1) } }
  return {
    uniforms,
    head(of) {
      field = of
      data = new Uint8Array(2 * of.values.length)
      solidInto(data, of)
      uniforms.air.value.dispose()
      uniforms.air.value = texture(...(of.size as [number, number, number]))
      // A texture's middle points lie half a cell inside its edges.
      uniforms.airLow.value.set(of.low[0] - of.cell / 2, of.low[1] - of.cell / 2, of.low[2] - of.cell / 2)
      uniforms.airSize.value.set(of.size[0] * of.cell, of.size[1] * of.cell, of.size[2] * of.cell)
    },
    hair(at, hairs, each) {
      if (!field) return
      if (at) hairInto(data, field, at, hairs, each)
      else for (let i = 0; i < data.length; i += 2) data[i] = 0
      uniforms.air.value.needsUpdate = true
    },
  }
}
