// A library for Windows without code: one function, which another library has under another name.

/** Where the only section lies in the file, and in memory. */
const fileOffset = 0x200;
const address = 0x1000;

/** The bytes of library `name`, whose function `exported` is `target`, written as LIBRARY.FUNCTION. */
export function forwardingLibrary(name, exported, target) {
  const section = exportSection(name, exported, target);
  const file = Buffer.alloc(fileOffset + 0x200);
  section.copy(file, fileOffset);
  file.write('MZ', 0);
  file.writeUInt32LE(0x40, 0x3c);
  file.write('PE\0\0', 0x40);
  // x64; one section; a header of 240 bytes behind this one; executable, at large addresses, a library.
  writeWords(file, 0x44, 2, [0x8664, 1]);
  writeWords(file, 0x54, 2, [240, 0x2022]);
  const header = 0x58;
  file.writeUInt16LE(0x20b, header);
  file.writeUInt32LE(0x200, header + 8);
  file.writeBigUInt64LE(0x1c0000000n, header + 24);
  writeWords(file, header + 32, 4, [address, fileOffset]);
  // For Windows 6.0 and later.
  file.writeUInt16LE(6, header + 40);
  file.writeUInt16LE(6, header + 48);
  writeWords(file, header + 56, 4, [address + 0x1000, fileOffset]);
  // A console's; moves in memory, holds no code in data.
  writeWords(file, header + 68, 2, [3, 0x160]);
  // Sixteen directories, of which the first is that of exports.
  writeWords(file, header + 108, 4, [16, address, section.length]);
  const sectionHeader = header + 240;
  file.write('.edata', sectionHeader);
  writeWords(file, sectionHeader + 8, 4, [section.length, address, 0x200, fileOffset]);
  // Data that is read.
  file.writeUInt32LE(0x40000040, sectionHeader + 36);
  return file;
}

/** The directory, a table each of addresses, names and ordinals, then the texts that they point to. */
function exportSection(name, exported, target) {
  const tables = Buffer.alloc(52);
  const texts = [name, exported, target].map(text => Buffer.from(`${text}\0`, 'latin1'));
  const [nameAt, exportedAt, targetAt] = texts.map(
    (_, i) => address + tables.length + Buffer.concat(texts.slice(0, i)).length,
  );
  writeWords(tables, 12, 4, [nameAt, 1, 1, 1, address + 40, address + 44, address + 48, targetAt, exportedAt]);
  return Buffer.concat([tables, ...texts]);
}

function writeWords(buffer, offset, size, words) {
  words.forEach((word, i) => buffer.writeUIntLE(word, offset + i * size, size));
}
