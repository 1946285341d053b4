using Microsoft.AspNetCore.Components;

namespace Evenwater.Page;

/// <summary>Makes the page's components, which ask their constructors for nothing. The framework's own maker compiles expressions for it: 3 MB.</summary>
internal sealed class PlainActivator : IComponentActivator
{
    public IComponent CreateInstance(Type componentType) => (IComponent)Activator.CreateInstance(componentType)!;
}
