// The glTF file of every example design, judged by the Khronos Group's glTF-Validator (ISO/IEC 12113:2022).
//   node gltf_validation.cjs PROGRAM DESIGN...
const {validateBytes} = require('gltf-validator');
const {spawnSync} = require('node:child_process');
const fs = require('node:fs');
const os = require('node:os');
const path = require('node:path');

const [, , program, ...designs] = process.argv;

async function judged(bytes) {
  const report = await validateBytes(new Uint8Array(bytes), {format: 'glb', maxIssues: 0});
  return report.issues;
}

async function main() {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'reedwright-gltf-'));
  let faults = 0;
  try {
    if (designs.length === 0) throw new Error('no design is named');
    for (const [i, design] of designs.entries()) {
      const out = path.join(folder, String(i));
      const run = spawnSync(program, ['shop', design, '--out', out], {encoding: 'utf8'});
      if (run.status !== 0) throw new Error(`shop ${design} ended with ${run.status}: ${run.stderr}`);
      const bytes = fs.readFileSync(path.join(out, 'assembly.glb'));
      const found = await judged(bytes);
      console.log(`${design}: ${bytes.length} bytes, ${found.numErrors} errors, ${found.numWarnings} warnings, ${found.numInfos} infos, ${found.numHints} hints`);
      for (const {code, message, pointer, severity} of found.messages) console.log(`  severity ${severity} ${code} at ${pointer}: ${message}`);
      faults += found.numErrors + found.numWarnings;

      // A judge that finds nothing in a spoiled file would prove nothing: one vertex's first coordinate becomes no number.
      const spoiled = Buffer.from(bytes);
      const json_length = bytes.readUInt32LE(12);
      const document = JSON.parse(bytes.subarray(20, 20 + json_length).toString('utf8'));
      const accessor = document.accessors[document.meshes[0].primitives[0].attributes.POSITION];
      const view = document.bufferViews[accessor.bufferView];
      spoiled.writeFloatLE(NaN, 20 + json_length + 8 + (view.byteOffset ?? 0) + (accessor.byteOffset ?? 0));
      if ((await judged(spoiled)).numErrors === 0) throw new Error(`${design}: the judge lets a vertex that is no number pass`);
    }
  } finally {
    fs.rmSync(folder, {recursive: true, force: true});
  }
  return faults === 0 ? 0 : 1;
}

main().then((code) => process.exitCode = code, (error) => {
  console.error(error);
  process.exitCode = 1;
});
