// Package save writes results so that they appear whole or not at all, and never
// over anything that was read or that is not a result.
//
// A [Folder] is for a program whose results are a folder of their own. [Open] claims
// the folder and tries it before anything is computed; [Folder.Save] writes every
// file into a fresh folder beside it and puts that in its place by renaming. Whatever
// ends the program before that, a full disk or SIGKILL included, leaves the folder as
// it was; the fresh folder that it leaves, known by its name (.NAME-unfinished-NUMBER) and
// by a lock that nobody holds, is taken away by the next run. Two programs cannot claim
// one folder at a time where the system has file locks (Unix); elsewhere the later one
// is refused when it saves.
//
// [Files] is for a program that adds a few files to a folder that is not its own:
// each file appears whole.
package save
