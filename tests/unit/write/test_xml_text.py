from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from modelcheck.write.xml_text import branch, for_xml, leaf, xml_file

texts = st.text(st.characters(codec="utf-8")) | st.sampled_from(('a "b" <c> & d', "\t\n", "]]>"))


@given(texts, texts)
def test_another_reader_finds_every_text_and_attribute(text, value):
    told = xml_file(branch("Root", leaf("Leaf", text, Name=value), leaf("Empty")))
    root = ElementTree.fromstring(told)
    assert [each.tag for each in root] == ["Leaf", "Empty"]
    assert (root[0].text or "") == for_xml(text)
    assert root[0].get("Name") == for_xml(value)


@given(texts, texts)
def test_it_is_written_as_the_standard_library_writes_it(text, value):
    root = ElementTree.Element("Root")
    middle = ElementTree.SubElement(root, "Middle", Name=for_xml(value))
    ElementTree.SubElement(middle, "Leaf").text = for_xml(text)
    ElementTree.SubElement(root, "Bare")
    ElementTree.indent(root)
    written = '<?xml version="1.0" encoding="UTF-8"?>\n'
    written += ElementTree.tostring(root, encoding="unicode") + "\n"
    ours = branch("Root", branch("Middle", leaf("Leaf", text), Name=value), branch("Bare"))
    assert xml_file(ours).decode() == written
