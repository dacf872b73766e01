"""Drawings and simple charts as SVG text, written from plain numbers; nothing outside is asked."""
