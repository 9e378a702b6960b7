"""The pack: figures as SVG, sheets through typst, lists as XLSX and CSV."""
