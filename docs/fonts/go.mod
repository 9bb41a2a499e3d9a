// The fonts of the plotting library, thinned for the browser: of the twelve faces,
// 4.2 MB, the site's plots use one. Here the other eleven are that one too, so the
// library compiled for a page with a job on it is 2.3 MB lighter when compressed.
// Only the site is built with this module; that its plots are those of the command,
// to the byte, is tested.
module codeberg.org/go-fonts/liberation

go 1.26
