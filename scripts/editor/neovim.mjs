export async function smokeNeovim() {}
