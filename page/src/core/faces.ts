// What is worked out of a mesh of triangles so that it looks calm.

// Each vertex's values, so many, become the mean of its neighbours' and its own.
export function smoothed(value: Float32Array, corners: Uint32Array, each = 1): Float32Array {
  const sum = value.slice()
  const count = new Float32Array(value.length / each).fill(1)
  for (let i = 0; i < corners.length; i += 3)
    for (let k = 0; k < 3; k++) {
      const a = corners[i + k] ?? 0, b = corners[i + ((k + 1) % 3)] ?? 0
      for (let c = 0; c < each; c++) sum[each * a + c] = (sum[each * a + c] ?? 0) + (value[each * b + c] ?? 0)
      count[a] = (count[a] ?? 0) + 1
    }
  for (let i = 0; i < sum.length; i++) sum[i] = (sum[i] ?? 0) / (count[Math.floor(i / each)] ?? 1)
  return sum
}

// Normals of the triangles themselves, averaged at the vertices by area. In lids, lips and the folds of an ear, which are finer
// than the triangles, the surface's own normals differ from vertex to vertex and would make spots.
export function facing(at: Float32Array, corners: Uint32Array): Float32Array {
  const out = new Float32Array(at.length)
  const add = (p: number, x: number, y: number, z: number): void => {
    out[p] = (out[p] ?? 0) + x
    out[p + 1] = (out[p + 1] ?? 0) + y
    out[p + 2] = (out[p + 2] ?? 0) + z
  }
  for (let i = 0; i < corners.length; i += 3) {
    const a = 3 * (corners[i] ?? 0), b = 3 * (corners[i + 1] ?? 0), c = 3 * (corners[i + 2] ?? 0)
    const ux = (at[b] ?? 0) - (at[a] ?? 0), uy = (at[b + 1] ?? 0) - (at[a + 1] ?? 0), uz = (at[b + 2] ?? 0) - (at[a + 2] ?? 0)
    const vx = (at[c] ?? 0) - (at[a] ?? 0), vy = (at[c + 1] ?? 0) - (at[a + 1] ?? 0), vz = (at[c + 2] ?? 0) - (at[a + 2] ?? 0)
    const x = uy * vz - uz * vy, y = uz * vx - ux * vz, z = ux * vy - uy * vx
    add(a, x, y, z)
    add(b, x, y, z)
    add(c, x, y, z)
  }
  return units(out)
}

// Vectors of three, made one long.
export function units(out: Float32Array): Float32Array {
  for (let i = 0; i < out.length; i += 3) {
    const x = out[i] ?? 0, y = out[i + 1] ?? 0, z = out[i + 2] ?? 0
    const size = Math.sqrt(x * x + y * y + z * z) || 1
    out[i] = x / size
    out[i + 1] = y / size
    out[i + 2] = z / size
  }
  return out
}
