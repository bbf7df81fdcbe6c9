using System.Numerics;
using VibeCheck.Core.Orders;

namespace VibeCheck.Core.Tests.Orders;

/// <summary>Compared with the complex arithmetic of System.Numerics, one envelope sample at a time.</summary>
public sealed class PhasorProductsTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(7)]
    public void Products_of_phasors_are_those_of_complex_numbers_whatever_the_number_of_nodes(int nodes)
    {
        (double[] weights, Complex[] a, Complex[] b) = Some(nodes);
        var products = new Complex[nodes];
        Complex[] rest = [.. a];

        PhasorProducts.Fill(weights, a, b, products);
        PhasorProducts.Subtract(rest, a, b);

        Complex sum = Complex.Zero;
        for (int k = 0; k < nodes; k++)
        {
            Complex expected = weights[k] * Complex.Conjugate(a[k]) * b[k];
            sum += expected;
            Near(expected, products[k]);
            Near(a[k] - a[k] * b[k], rest[k]);
        }

        Near(sum, PhasorProducts.Sum(weights, a, b));
    }

    private static void Near(Complex expected, Complex actual) => Assert.InRange((expected - actual).Magnitude, 0, 1e-12);

    private static (double[] Weights, Complex[] A, Complex[] B) Some(int nodes) =>
        (
            [.. Enumerable.Range(1, nodes).Select(k => 1.0 / k)],
            [.. Enumerable.Range(0, nodes).Select(k => Complex.FromPolarCoordinates(1 + k, 0.7 * k + 0.1))],
            [.. Enumerable.Range(0, nodes).Select(k => Complex.FromPolarCoordinates(2 - 0.1 * k, 1.9 - 1.3 * k))]
        );
}
