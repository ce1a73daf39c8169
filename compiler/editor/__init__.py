"""The language server: what an editor shows of a pattern while it is written.

Each feature is a function of an analysis and knows offsets alone; `protocol` is the one module that speaks to
the editor.
"""
