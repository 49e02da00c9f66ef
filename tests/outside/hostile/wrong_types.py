"""Beginnings of files that are something else, with the word that a message must hold."""
import gzip
import io
import zipfile


def a_zip():
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("a.txt", "text " * 50)
    return buffer.getvalue()


WRONG_TYPES = {
    "DWG": (b"AC1032\0\0\0\0\0" + bytes(range(256)) * 4, "DWG"),
    "PDF": (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n<<>>\nendobj\ntrailer\n%%EOF\n", "PDF"),
    "gzip": (gzip.compress(b"0\nSECTION\n" * 100, mtime=0), "gzip"),
    "zip": (a_zip(), "ZIP"),
    "UTF-16 little": ("\ufeff{\"a\": 1}\n0\nSECTION\n".encode("utf-16-le"), "UTF-16"),
    "UTF-16 big": ("\ufeff{\"a\": 1}\n0\nSECTION\n".encode("utf-16-be"), "UTF-16"),
    "PNG": (b"\x89PNG\r\n\x1a\n" + bytes(200), "PNG"),
    "JPEG": (b"\xff\xd8\xff\xe0\0\x10JFIF\0" + bytes(200), "JPEG"),
    "HTML": (b"<!DOCTYPE html>\n<html><body>a page</body></html>\n", "HTML"),
    "program": (b"\x7fELF\x02\x01\x01" + bytes(200), "program"),
    "empty": (b"", ""),
    "zeros": (bytes(100_000), ""),
    "ones": (b"\xff" * 100_000, ""),
}
