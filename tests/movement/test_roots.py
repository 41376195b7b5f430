import numpy as np
import pytest

from movement.roots import bracketed_root


def test_roots_are_found_element_by_element() -> None:
    squares = np.array([0.0, 1.0, 2.0, 9.0])
    found = bracketed_root(lambda x, square: x * x - square, np.array(0.0), np.array(3.0), squares)
    assert found == pytest.approx(np.sqrt(squares), abs=1e-12)


def test_a_bracket_without_a_root_is_refused() -> None:
    with pytest.raises(ArithmeticError, match="no root found between 0 and 1"):
        bracketed_root(lambda x: x + 1.0, np.array(0.0), np.array(1.0))
