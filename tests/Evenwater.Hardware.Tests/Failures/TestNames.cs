using System.Reflection.Metadata;
using System.Reflection.PortableExecutable;

namespace Evenwater.HardwareTests.Failures;

/// <summary>The full names of all tests of all test projects, read from what was built; a test that is skipped or only run when asked for does not count.</summary>
internal static class TestNames
{
    private static readonly string[] Projects = ["Evenwater.Core.Tests", "Evenwater.Hardware.Tests", "Evenwater.Tests", "Evenwater.Nights"];

    public static IReadOnlySet<string> All { get; } = Projects.SelectMany(project => Of(File(project))).ToHashSet();

    private static string File(string project)
    {
        var file = Path.Combine(AppContext.BaseDirectory.Replace("Evenwater.Hardware.Tests", project, StringComparison.Ordinal), $"{project}.dll");
        return System.IO.File.Exists(file) ? file : throw new FileNotFoundException($"{project} is not built: dotnet build Monitor.sln -c Release", file);
    }

    private static IEnumerable<string> Of(string file)
    {
        using var stream = System.IO.File.OpenRead(file);
        using var image = new PEReader(stream);
        var data = image.GetMetadataReader();
        foreach (var type in data.TypeDefinitions.Select(data.GetTypeDefinition))
        {
            foreach (var method in type.GetMethods().Select(data.GetMethodDefinition))
            {
                if (method.GetCustomAttributes().Select(data.GetCustomAttribute).Any(attribute => IsTest(data, attribute)))
                {
                    yield return $"{data.GetString(type.Namespace)}.{data.GetString(type.Name)}.{data.GetString(method.Name)}";
                }
            }
        }
    }

    private static bool IsTest(MetadataReader data, CustomAttribute attribute)
    {
        if (attribute.Constructor.Kind != HandleKind.MemberReference
            || data.GetMemberReference((MemberReferenceHandle)attribute.Constructor).Parent is not { Kind: HandleKind.TypeReference } parent)
        {
            return false;
        }

        var name = data.GetString(data.GetTypeReference((TypeReferenceHandle)parent).Name);
        var given = System.Text.Encoding.UTF8.GetString(data.GetBlobBytes(attribute.Value));
        return name is "FactAttribute" or "TheoryAttribute"
            && !given.Contains("Skip", StringComparison.Ordinal) && !given.Contains("Explicit", StringComparison.Ordinal);
    }
}
